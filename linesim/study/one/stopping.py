"""Stopping a run on the way without losing what it has done."""

from __future__ import annotations

import signal
import threading
from types import FrameType, TracebackType
from typing import Any, Self

from linesim.floor.own_rules import hurry

__all__ = ["Wish"]


class Wish:
    """The wish to stop, which the first interrupt (Ctrl-C) expresses; a second one stops at once.

    A rule of the user's own that does not come back then is broken off.

    Interrupts are left alone outside the main thread, where Python does not deliver them, and where somebody else
    has taken them over.

    Parameters
    ----------
    is_heeded : bool
        Whether to listen at all.
    """

    def __init__(self, is_heeded: bool = True) -> None:
        self.is_there = False
        is_main = threading.current_thread() is threading.main_thread()
        self._listens = is_heeded and is_main and signal.getsignal(signal.SIGINT) is signal.default_int_handler
        self._before: Any = None

    def __enter__(self) -> Self:
        if self._listens:
            self._before = signal.signal(signal.SIGINT, self._heard)
        return self

    def __exit__(
        self, kind: type[BaseException] | None, error: BaseException | None, trace: TracebackType | None
    ) -> None:
        if self._listens:
            signal.signal(signal.SIGINT, self._before)

    def _heard(self, number: int, frame: FrameType | None) -> None:  # noqa: ARG002 - so Python calls it
        if self.is_there:
            raise KeyboardInterrupt
        self.is_there = True
        hurry()
