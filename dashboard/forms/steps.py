"""Going from moment to moment."""

from __future__ import annotations

from collections.abc import Sequence

__all__ = ["next_of", "played", "previous_of"]

_SAME_MIN = 0.02


def next_of(moments: Sequence[float], now: float, end: float) -> float:
    """The first moment after now, or the end.

    >>> next_of([10.0, 20.0], 10.0, 480.0), next_of([10.0], 15.0, 480.0)
    (20.0, 480.0)
    """
    return min((moment for moment in moments if moment > now + _SAME_MIN), default=end)


def previous_of(moments: Sequence[float], now: float) -> float:
    """The last moment before now, or the start.

    >>> previous_of([10.0, 20.0], 20.0), previous_of([10.0], 5.0)
    (10.0, 0.0)
    """
    return max((moment for moment in moments if moment < now - _SAME_MIN), default=0.0)


def played(now: float, pace: float, end: float) -> float:
    """Where a played shift is a step later; from the start again after its end.

    >>> played(470.0, 5.0, 480.0), played(480.0, 5.0, 480.0)
    (475.0, 0.0)
    """
    return 0.0 if now >= end else min(now + pace, end)
