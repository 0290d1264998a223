"""How far each interval may be moved before it costs more than a tolerance, by paired runs."""

from __future__ import annotations

from collections.abc import Sequence

from linesim.study.search.common.lever import Lever
from linesim.study.search.common.set_at import SetAt
from linesim.study.search.intervals.best import FlatRange, Try

__all__ = ["flat_range", "is_dearer", "is_flat", "next_tries", "next_values"]

OUTWARD = (1.25, 1.6, 2.0)
"""Factors by which an interval is moved, one after another as long as that costs little."""

STEPS = (0.1, 0.25, 0.5, 1.0, 2.0)
"""Steps by which a lever is moved, one after another as long as that costs little."""

INWARD = 1.12
"""Tried where the first of them costs too much."""


def is_flat(one: Try, allowed: float) -> bool:
    """Whether an interval is known to cost no more than is allowed: the upper end of its interval lies below."""
    return not one.breaks_cap and one.worse.mean + one.worse.half_width <= allowed


def is_dearer(one: Try, allowed: float) -> bool:
    """Whether an interval is known to cost more than is allowed, or passes a cap."""
    return one.breaks_cap or one.worse.mean - one.worse.half_width > allowed


def next_tries(set_at: SetAt, best: int, tried: Sequence[Try], allowed: float, by: str) -> list[int]:
    """Intervals to try next on both sides, none where enough is known.

    Parameters
    ----------
    set_at : SetAt
        The set.
    best : int, parts
        Its best interval.
    tried : sequence of Try
        What was tried of it so far.
    allowed : float
        Tolerance in the unit of the goal.
    by : {"parts", "life"}
        How intervals are written.

    Returns
    -------
    list of int
    """
    known = {one.parts: one for one in tried}
    wanted = [_next(set_at, best, known, allowed, by, is_up) for is_up in (False, True)]
    return [parts for parts in dict.fromkeys(wanted) if parts is not None]


def _next(
    set_at: SetAt, best: int, known: dict[float, Try], allowed: float, by: str, is_up: bool
) -> int | None:  # fmt: skip
    """The next interval to try on one side."""

    def moved(factor: float) -> int:
        return set_at.snapped(best * factor if is_up else best / factor, by)

    first = known.get(moved(OUTWARD[0]))
    if first is not None and not is_flat(first, allowed):
        inner = moved(INWARD)
        return inner if inner not in known and inner not in (best, first.parts) else None
    for factor in OUTWARD:
        parts = moved(factor)
        if parts == best:
            continue
        if parts not in known:
            return parts
        if not is_flat(known[parts], allowed):
            return None
    return None


def next_values(lever: Lever, best: float, tried: Sequence[Try], allowed: float) -> list[float]:
    """Values of a lever to try next on both sides of the best, none where enough is known; as `next_tries`."""
    known = {one.parts: one for one in tried}
    wanted = []
    for sign in (-1.0, 1.0):
        for steps in STEPS:
            value = lever.snapped(best + sign * steps * lever.step)
            if value == best:
                continue
            if value not in known:
                wanted.append(value)
                break
            if not is_flat(known[value], allowed):
                break
    return wanted


def flat_range(best: float, tried: Sequence[Try], allowed: float) -> FlatRange:
    """The range around the best interval in which everything tried is known to cost no more than is allowed.

    Parameters
    ----------
    best : float
        The best interval, parts; or the best value of a lever.
    tried : sequence of Try
        What was tried of the set or lever.
    allowed : float
        Tolerance in the unit of the goal.

    Returns
    -------
    FlatRange
    """
    low, low_is_sure = _end(
        best, sorted((one for one in tried if one.parts < best), key=lambda one: -one.parts), allowed
    )
    high, high_is_sure = _end(
        best, sorted((one for one in tried if one.parts > best), key=lambda one: one.parts), allowed
    )
    return FlatRange(low, high, low_is_sure, high_is_sure)


def _end(best: float, outward: Sequence[Try], allowed: float) -> tuple[float, bool]:
    """Last interval of an unbroken row that is flat, and whether the next one is known to cost more."""
    last = best
    for one in outward:
        if not is_flat(one, allowed):
            return last, is_dearer(one, allowed)
        last = one.parts
    return last, False
