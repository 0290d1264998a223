"""Words for a study on its way."""

from __future__ import annotations

import math
from typing import Protocol

from linesim.report.theme.shown import number
from linesim.words import listed_words, say

__all__ = ["progress_words", "time_left"]


_SOON_S = 10.0
_MINUTES_S = 90.0


class Step(Protocol):
    """How far a study is."""

    @property
    def done(self) -> int:
        """Runs finished."""

    @property
    def total(self) -> int:
        """Runs in all."""

    @property
    def left_s(self) -> float | None:
        """Seconds that the rest will take."""

    @property
    def words(self) -> str:
        """What it is doing."""


def time_left(seconds: float | None) -> str:
    """Seconds that are left, as people say them.

    >>> time_left(0.4), time_left(12.2), time_left(150.0), time_left(None)
    ('a moment left', 'about 13 s left', 'about 3 min left', '')
    """
    if seconds is None or math.isnan(seconds):
        return ""
    if seconds < 1.0:
        return say("progress.moment")
    if seconds < _MINUTES_S:
        return say("progress.seconds", left=math.ceil(seconds))
    return say("progress.minutes", left=math.ceil(seconds / 60.0))


def progress_words(step: Step | None, state: str, ahead: int = 0, warming_s: float | None = None) -> str:
    """One sentence on how far a study is.

    Parameters
    ----------
    step : Step or None
        The last that was heard of it.
    state : str
        waiting, running, stopping or stopped.
    ahead : int
        Studies that come first.
    warming_s : float, optional
        How long the engine has been made ready, where no worker is ready yet.

    >>> progress_words(None, "waiting", 3)
    'In the queue: 3 studies come first.'
    >>> progress_words(None, "waiting", 0, 72.4)
    'The engine is being made ready, for 72 s so far; the first time on a machine this takes a minute or several.'
    """
    if state == "waiting":
        if warming_s is not None:
            return say("progress.warming_for" if warming_s >= _SOON_S else "progress.warming", seconds=warming_s)
        return say("progress.queue", count=ahead) if ahead else say("progress.next")
    if step is None:
        return say("progress.stopped_before" if state == "stopped" else "progress.begun")
    runs = say("progress.runs", done=number(step.done, 0), total=number(step.total, 0))
    if state in ("stopped", "stopping"):
        return say(f"progress.{state}", runs=runs)
    return listed_words([part for part in (step.words, runs, time_left(step.left_s)) if part])
