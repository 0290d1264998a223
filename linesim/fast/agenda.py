"""The agenda: who acts when.

A knock-out tournament of moments. Everybody has a place of his own in the first round, machines on one side and sets
and lines on the other; the sooner of two goes on to the next round, and who wins the last one acts next. Whoever
enters plays his way up again, against opponents who are known beforehand: the same steps each time, for the processor
to work through without guessing. Of equal moments either may win, as they all happen before anything is given out.

Who acts mostly enters again at once, so what he entered before is wiped out only if he does not: `close_agenda`.
"""

from __future__ import annotations

import math

from linesim.fast.compiled import compiled, inlined
from linesim.fast.drawers import due_at
from linesim.fast.state import World
from linesim.plan.tables import NONE


@inlined
def enter_in_agenda(w: World, minute: float, who: int) -> None:
    """Note that somebody acts at a moment."""
    if who == w.acting:
        w.acting = NONE
    _play(w, minute, who)


@compiled
def _play(w: World, minute: float, who: int) -> None:
    """Let somebody play his way up with a new moment."""
    at = w.first_of_machines + who if who < w.n_machines else w.first_of_others + who - w.n_machines
    entry = due_at(w.agenda, at)
    entry.minute, entry.who = minute, who
    while at > 1:
        soonest, whose = _sooner(w, at ^ 1, at ^ 2)
        third = due_at(w.agenda, at ^ 3)
        third_minute, third_who = third.minute, third.who
        whose = third_who if third_minute < soonest else whose
        soonest = min(soonest, third_minute)
        who = whose if soonest < minute else who
        minute = min(minute, soonest)
        at >>= 2
        above = due_at(w.agenda, at)
        above.minute, above.who = minute, who


@inlined
def _sooner(w: World, one: int, two: int) -> tuple[float, int]:
    left, right = due_at(w.agenda, one), due_at(w.agenda, two)
    left_minute, left_who, right_minute, right_who = left.minute, left.who, right.minute, right.who
    is_left = left_minute < right_minute
    return left_minute if is_left else right_minute, left_who if is_left else right_who


@inlined
def next_minute(w: World) -> float:
    """The first moment in the agenda, infinite if it is empty; nobody must be acting."""
    return due_at(w.agenda, 1).minute


@inlined
def take_from_agenda(w: World) -> int:
    """Who acts first."""
    w.acting = due_at(w.agenda, 1).who
    return w.acting


@inlined
def close_agenda(w: World) -> None:
    """Wipe out the entry of who has acted, unless he has entered again."""
    if w.acting != NONE:
        _play(w, math.inf, w.acting)
        w.acting = NONE
