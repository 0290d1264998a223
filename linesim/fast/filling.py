"""Filling batches: parts that a machine takes in, and when it starts with those that it has."""

from __future__ import annotations

from linesim.fast import codes
from linesim.fast.agenda import enter_in_agenda
from linesim.fast.common import call, enter, first_claim, make_ready
from linesim.fast.compiled import compiled, inlined
from linesim.fast.drawers import batch_at, machine_at, part_at
from linesim.fast.state import Machine, Pool, World
from linesim.plan.tables import NONE

__all__ = ["first_out", "hand", "lay_in", "may_start"]


@inlined
def may_start(w: World, m: Machine) -> bool:
    """Whether a machine that fills a batch has enough parts, and the first has waited long enough."""
    return m.is_filling > 0 and m.in_batch >= batch_at(w.batches, m.operation).least and w.now >= m.due_min


@inlined
def lay_in(w: World, m: Machine, number: int) -> None:
    """Put a part last into a batch."""
    part_at(w.parts, number).next = NONE
    if m.in_batch == 0:
        m.first_in = number
    else:
        part_at(w.parts, m.last_in).next = number
    m.last_in = number
    m.in_batch += 1


@compiled
def _takes_in(w: World, m: Machine, number: int) -> bool:
    """Take a part into a batch; whether it is full now."""
    lay_in(w, m, number)
    if m.in_batch == m.batch:
        m.is_filling = 0
        return True
    if m.in_batch == 1:
        m.now = w.now
        enter(w, m, codes.STATE_FILLING)
        m.due_min = w.now + batch_at(w.batches, m.operation).waits_min
        if m.clock != NONE:
            _wind(w, machine_at(w.machines, m.clock), m.due_min)
    if may_start(w, m):
        call(w, m.starts)
    return False


@inlined
def _wind(w: World, clock: Machine, due_min: float) -> None:
    if clock.runs == 0:
        clock.runs = 1
        enter_in_agenda(w, w.now + (due_min - w.now), clock.index)


@inlined
def hand(w: World, p: Pool, number: int) -> None:
    """Hand a part to the first of those that wait, who goes on waiting if it fills a batch."""
    if p.fills and not _takes_in(w, machine_at(w.machines, p.first_claim), number):
        return
    machine = first_claim(w, p)
    machine_at(w.machines, machine).part = number
    make_ready(w, machine)


@inlined
def first_out(w: World, m: Machine) -> int:
    """Take the first part out of a batch."""
    number = m.first_in
    m.first_in = part_at(w.parts, number).next
    m.in_batch -= 1
    return number
