"""A worker follows its leader: it leaves Ctrl-C to it, and ends when it has ended, however that came about.

A worker loads this first, and nothing heavy with it: a leader may end while its workers are still beginning.
"""

from __future__ import annotations

import ctypes
import os
import signal
import sys
import threading
import time
from typing import Any, Self

__all__ = ["Leader", "follow"]

_LOOK_EVERY_S = 0.5
_PR_SET_PDEATHSIG = 1
"""Of Linux's prctl(2): the signal that a process gets when the thread that has started it ends."""


class Leader:
    """The process that starts workers, as they know it.

    It is written down anew for each worker that is started, so that it says which thread has started that one.

    Attributes
    ----------
    pid : int
        Its number.
    starts_in_main : bool
        Whether its main thread starts the worker; no other thread lasts as long as the process.
    """

    def __init__(self, pid: int | None = None, starts_in_main: bool = False) -> None:
        self.pid = os.getpid() if pid is None else pid
        self.starts_in_main = starts_in_main

    def __reduce__(self) -> tuple[type[Self], tuple[int, bool]]:
        return type(self), (os.getpid(), threading.current_thread() is threading.main_thread())


def follow(leader: Leader) -> None:
    """Let this process be led: what a worker does first.

    Notes
    -----
    A thread looks whether the leader is still there, and waits for a long run to let it. Where the kernel can see to
    it (Linux, and only for what a main thread has started) the worker ends at once.
    """
    signal.signal(signal.SIGINT, signal.SIG_IGN)
    if sys.platform == "linux" and leader.starts_in_main:
        libc: Any = ctypes.CDLL(None)
        libc.prctl(_PR_SET_PDEATHSIG, signal.SIGKILL)
    if os.name == "posix":
        threading.Thread(target=_watch, args=(leader.pid,), daemon=True).start()


def _watch(leader_pid: int) -> None:
    while os.getppid() == leader_pid:
        time.sleep(_LOOK_EVERY_S)
    os._exit(1)
