"""How long something took of itself, on a machine that others keep busy: load is no hang, and a hang is no load.

The kernel of Linux counts for each process how long it stood ready and was given no processor. What is left of the time
on the wall is what the process worked and what it slept: a hang that waits for a lock is in it as well as one that
turns in circles. Where nothing is counted, all of the time on the wall stands.
"""

from __future__ import annotations

import time
from pathlib import Path

import psutil

__all__ = ["Patience", "starved_s"]


def starved_s(pid: int | str = "self") -> float:
    """Seconds for which the threads of a process have stood ready without a processor; 0 where that is not counted."""
    waits = []
    for thread in Path(f"/proc/{pid}/task").glob("*/schedstat"):
        try:
            waits.append(int(thread.read_text().split()[1]))
        except (OSError, IndexError, ValueError):  # it has ended meanwhile, or this kernel does not count
            continue
    return max(waits, default=0) / 1e9


class Patience:
    """A stopwatch that leaves out what a process was kept waiting by others.

    Parameters
    ----------
    pid : int or str
        Of the process; this one unless given.
    is_family : bool
        Whether the processes that it starts are waited for with it: the one that was starved most counts.
    """

    def __init__(self, pid: int | str = "self", *, is_family: bool = False) -> None:
        self._pid, self._is_family = pid, is_family
        self._began, self._before = time.monotonic(), self._starved()

    @property
    def own_s(self) -> float:
        """What it has taken of itself since the stopwatch was made, s."""
        more = [each_s - self._before.get(pid, 0.0) for pid, each_s in self._starved().items()]
        return time.monotonic() - self._began - max([0.0, *more])

    def _starved(self) -> dict[int | str, float]:
        family: list[int | str] = [self._pid]
        if self._is_family:
            try:
                own = psutil.Process(None if self._pid == "self" else int(self._pid))
                family += [child.pid for child in own.children(recursive=True)]
            except psutil.Error:  # it has ended
                pass
        return {pid: starved_s(pid) for pid in family}
