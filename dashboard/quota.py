"""How much of what users send the server takes on."""

from __future__ import annotations

import threading
import time
from collections import deque
from collections.abc import Callable

from linesim.errors import LinesimError

__all__ = ["Quota"]

_MB = 2**20


class Quota:
    """Bytes that one user and all users may send within a span of time.

    Parameters
    ----------
    of_one, of_all : int
        Bytes.
    within_s : float
        In the last so many seconds.
    clock : callable
        Seconds that only grow.
    what : str
        What it is that would be too much, in words.
    """

    def __init__(
        self,
        of_one: int = 32 * _MB,
        of_all: int = 256 * _MB,
        within_s: float = 3600.0,
        clock: Callable[[], float] = time.monotonic,
        what: str = "with this file {who} sent",
    ) -> None:
        self.of_one, self.of_all, self.within_s, self.what = of_one, of_all, within_s, what
        self._clock = clock
        self._taken: deque[tuple[float, str, int]] = deque()
        self._lock = threading.Lock()

    def take(self, owner: str, size: int) -> None:
        """Take on so many bytes of a user.

        Parameters
        ----------
        owner : str
            Who sends them.
        size : int
            Bytes.

        Raises
        ------
        LinesimError
            It is too much, of this user or of all; nothing is counted then.
        """
        with self._lock:
            now_s = self._clock()
            while self._taken and self._taken[0][0] <= now_s - self.within_s:
                self._taken.popleft()
            of_all = sum(taken for _, _, taken in self._taken)
            of_one = sum(taken for _, who, taken in self._taken if who == owner)
            self._check(of_one + size, self.of_one, "you have")
            self._check(of_all + size, self.of_all, "all users together have")
            self._taken.append((now_s, owner, size))

    def _check(self, size: int, most: int, who: str) -> None:
        if size > most:
            raise LinesimError(
                f"{self.what.format(who=who)} {size / _MB:,.1f} MB within {self.within_s / 60.0:,.0f} minutes, and "
                f"this server takes {most / _MB:,.0f} MB; try again later, or use the command line"
            )
