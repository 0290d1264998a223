"""Through one shift by the counter: at which reading the setter comes, and for which sets."""

from __future__ import annotations

import math
from collections.abc import Sequence

from linesim.cards.records import CardSet, CounterStop

__all__ = ["MOST_STOPS", "counter_stops"]

MOST_STOPS = 24
"""Rows that a card has room for."""


def counter_stops(sets: Sequence[CardSet], parts: float, group_past: float | None) -> tuple[CounterStop, ...]:
    """Readings of the counter at which sets are changed or looked at, all edges being fresh at 0.

    Parameters
    ----------
    sets : sequence of CardSet
        Of one machine.
    parts : float
        That the machine makes in the shift.
    group_past : float or None
        Share of its count past which a set is changed in the stop of another.

    Returns
    -------
    tuple of CounterStop
        At most `MOST_STOPS`, in order. What a look finds worn is changed at that look, which no counter foretells.
    """
    done = [0] * len(sets)
    stops: list[CounterStop] = []
    reading = 0
    while len(stops) < MOST_STOPS:
        step = min((_until(each, count) for each, count in zip(sets, done, strict=True)), default=math.inf)
        if reading + step > parts:
            break
        reading += int(step)
        done = [count + int(step) for count in done]
        due = _due(sets, done, group_past)
        looks = tuple(each.cutter for each, count in zip(sets, done, strict=True) if _until_look(each, count - 1) == 1)
        stops.append(CounterStop(reading, tuple(sets[slot].cutter for slot in due), looks))
        done = [0 if slot in due else count for slot, count in enumerate(done)]
    return tuple(stops)


def _until(each: CardSet, count: int) -> float:
    """Parts until a set is due or looked at."""
    until_due = math.inf if each.count is None else each.count - count
    return min(until_due, _until_look(each, count))


def _until_look(each: CardSet, count: int) -> float:
    """Parts until a set is looked at."""
    if each.look_every is None or each.look_first is None:
        return math.inf
    past = count - each.look_first
    return -past if past < 0 else each.look_every - past % each.look_every


def _due(sets: Sequence[CardSet], done: Sequence[int], group_past: float | None) -> list[int]:
    """Sets that are changed in this stop: those that are due, and those that are far enough to go with them."""
    shares = [0.0 if each.count is None else count / each.count for each, count in zip(sets, done, strict=True)]
    if not any(share >= 1.0 for share in shares):
        return []
    past = 1.0 if group_past is None else group_past
    return [slot for slot, share in enumerate(shares) if share >= past]
