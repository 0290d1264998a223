"""The agenda: who acts when.

A knock-out tournament of moments. Each entry has a slot in the first round; the soonest of four goes on to the next
round, and who wins the last one acts next. Whoever enters plays his way up against opponents who are known beforehand:
the same steps each time, for the processor to work through without guessing. Of equal moments either may win, as they
all happen before anything is given out.

Who acts leaves his slot vacant, and the next to enter takes it, mostly himself; only if nobody has entered before
the clock is looked at again is the slot wiped out: `close_agenda`. So there are no more slots than there ever were
entries at one time, and no more rounds than so many slots need.
"""

from __future__ import annotations

import math

from linesim.fast.compiled import compiled, inlined
from linesim.fast.drawers import due_at
from linesim.fast.picking import picked
from linesim.fast.state import World
from linesim.plan.tables import NONE

WHO = 2**32 - 1
"""The part of a ticket that says who acts."""


@inlined
def enter_in_agenda(w: World, minute: float, who: int) -> None:
    """Note that somebody acts at a moment."""
    slot = w.vacant
    if slot == NONE:
        slot = _another_slot(w)
        _rise(w, slot, minute, slot << 32 | who)
    else:
        w.vacant = NONE
        _play(w, slot, minute, slot << 32 | who)


@compiled
def _another_slot(w: World) -> int:
    """A slot that was wiped out, or else a new one; where there is none left in the first round, one more round."""
    slot = w.wiped_out
    if slot != NONE:
        w.wiped_out = due_at(w.agenda, slot).ticket
        return slot
    slot = w.next_slot
    w.next_slot += 1
    if w.next_slot > w.end_of_slots:
        last = due_at(w.agenda, w.final)
        w.final >>= 2
        w.end_of_slots = w.first_slot + 4 * (w.end_of_slots - w.first_slot)
        due_at(w.agenda, w.final).minute, due_at(w.agenda, w.final).ticket = last.minute, last.ticket
    return slot


@inlined
def _rise(w: World, at: int, minute: float, ticket: int) -> None:
    """Let an entry rise from a slot that was empty, as far as it is the soonest."""
    agenda, final = w.agenda, w.final
    entry = due_at(agenda, at)
    entry.minute, entry.ticket = minute, ticket
    while at > final:
        at >>= 2
        above = due_at(agenda, at)
        if above.minute <= minute:
            break
        above.minute, above.ticket = minute, ticket


@compiled
def _play(w: World, at: int, minute: float, ticket: int) -> None:
    """Let an entry play its way up in place of the one that came out first."""
    agenda, final = w.agenda, w.final
    entry = due_at(agenda, at)
    entry.minute, entry.ticket = minute, ticket
    while at > final:
        one, two, three = due_at(agenda, at ^ 1), due_at(agenda, at ^ 2), due_at(agenda, at ^ 3)
        soonest = min(one.minute, two.minute)
        whose = picked(two.minute < one.minute, two.ticket, one.ticket)
        whose = picked(three.minute < soonest, three.ticket, whose)
        soonest = min(soonest, three.minute)
        ticket = picked(soonest < minute, whose, ticket)
        minute = min(minute, soonest)
        at >>= 2
        above = due_at(agenda, at)
        above.minute, above.ticket = minute, ticket


@inlined
def next_minute(w: World) -> float:
    """The first moment in the agenda, infinite if it is empty; it must be closed."""
    return due_at(w.agenda, w.final).minute


@inlined
def take_from_agenda(w: World) -> int:
    """Who acts first; his slot is vacant."""
    ticket = due_at(w.agenda, w.final).ticket
    w.vacant = ticket >> 32
    return ticket & WHO


@inlined
def close_agenda(w: World) -> None:
    """Wipe out the slot of who acted last, unless somebody has entered there again."""
    if w.vacant != NONE:
        _play(w, w.vacant, math.inf, w.wiped_out)
        w.wiped_out, w.vacant = w.vacant, NONE
