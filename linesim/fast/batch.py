"""The round of a machine that takes several parts at once, and the clock beside it."""

from __future__ import annotations

from linesim.chance.addresses import loading_spot, unloading_spot
from linesim.fast import codes, steps
from linesim.fast.agenda import enter_in_agenda
from linesim.fast.common import add, call, count, enter, make_ready, minutes_of, take_out_claim, wait
from linesim.fast.compiled import compiled, inlined
from linesim.fast.cutting import befalls
from linesim.fast.drawers import batch_at, line_at, machine_at, operation_at, part_at, pool_at, visit_at
from linesim.fast.edges import minutes_of_work
from linesim.fast.filling import first_out, lay_in, may_start
from linesim.fast.first_named import ask_for_part
from linesim.fast.handling import begin_part
from linesim.fast.room_side import is_turned_back
from linesim.fast.state import Machine, World
from linesim.plan.tables import NONE

__all__ = ["batch_round", "start_batch"]

# --- filling -------------------------------------------------------------------------------------------------------


@compiled
def start_batch(w: World, machine: int) -> None:
    """Start with the parts that are there, once no more can come at this instant."""
    m = machine_at(w.machines, machine)
    if may_start(w, m):
        m.is_filling = 0
        take_out_claim(w, pool_at(w.pools, m.source), machine)
        make_ready(w, machine)


@compiled
def _watch(w: World, clock: Machine) -> int:
    """See whether the first part of a batch has waited long enough."""
    m = machine_at(w.machines, clock.home)
    clock.runs = 0
    clock.step = steps.BATCH_CLOCK
    if m.is_filling and m.in_batch > 0:
        if w.now < m.due_min:
            clock.runs = 1
            enter_in_agenda(w, w.now + (m.due_min - w.now), clock.index)
        elif may_start(w, m):
            call(w, m.starts)
    return steps.BLOCKED


# --- the round -----------------------------------------------------------------------------------------------------


@compiled
def _next_part(w: World, m: Machine) -> int:
    """Let the next part of the batch go on its way, or begin to fill another batch."""
    if m.in_batch == 0:
        enter(w, m, codes.STATE_WAITING_FOR_PART)
        ask_for_part(w, m)
        m.is_filling = 1
        m.step = steps.BATCH_GOT
        return steps.BLOCKED
    m.part = first_out(w, m)
    part = part_at(w.parts, m.part)
    m.serial = part.serial
    m.is_first_try = 1 if part.rounds == 0 else 0
    m.sampled = 0
    m.is_spoiled = 1 if befalls(w, m, 0, operation_at(w.operations, m.operation).scrap_chance) else 0
    return steps.CUT_DONE


@compiled
def _load(w: World, m: Machine) -> int:
    """All parts come onto the machine; loading takes its minutes, for each of them or for all at once."""
    if m.is_due:
        return steps.CALL_FOR_OVERHAUL
    if m.room_ways:
        _turn_back(w, m)
        if m.in_batch == 0:
            return steps.BATCH_TAKE
    count(w.batches_begun, m.index)
    number = m.first_in
    for _ in range(m.in_batch):
        m.part = number
        begin_part(w, m)
        number = part_at(w.parts, number).next
    enter(w, m, codes.STATE_LOADING)
    number, time = m.first_in, operation_at(w.operations, m.operation).load_time
    for _ in range(m.in_batch):
        part = part_at(w.parts, number)
        minutes = minutes_of(w, time, codes.PURPOSE_OTHER, loading_spot(m.operation), part.serial)
        _charge(w, m, number, minutes)
        if minutes > 0.0:
            m.now += minutes
        number = part.next
    m.part = m.first_in
    m.serial = part_at(w.parts, m.part).serial
    minutes = _handle_all(w, m, batch_at(w.batches, m.operation).load_time, loading_spot(m.operation))
    return wait(w, m, minutes, steps.BATCH_RUN)


@compiled
def _turn_back(w: World, m: Machine) -> None:
    """Leave out those that are swept back to be sorted."""
    number, taken = m.first_in, m.in_batch
    m.first_in = m.last_in = NONE
    m.in_batch = 0
    for _ in range(taken):
        m.part, after = number, part_at(w.parts, number).next
        if not is_turned_back(w, m):
            lay_in(w, m, number)
        number = after


@inlined
def _charge(w: World, m: Machine, number: int, minutes: float) -> None:
    """Put minutes into a part."""
    if minutes > 0.0 and line_at(w.lines, m.line).keeps_visits:
        visit_at(w.visits, number * w.most_operations + m.position).spent_min += minutes


@compiled
def _handle_all(w: World, m: Machine, time: int, spot: int) -> float:
    """Minutes of loading or unloading the batch at once."""
    minutes = minutes_of(w, time, codes.PURPOSE_OTHER, spot, m.serial)
    number = m.first_in
    for _ in range(m.in_batch):
        _charge(w, m, number, minutes / m.in_batch)
        number = part_at(w.parts, number).next
    return minutes


@compiled
def _run(w: World, m: Machine) -> int:
    """The minutes of the batch, which all its parts bear alike; another draw if the first has been here before."""
    enter(w, m, codes.STATE_CUTTING)
    m.left_min = minutes_of_work(w, m) * m.pace
    m.cutting = steps.BATCH_MINUTES
    m.breaking = NONE
    number = m.first_in
    for _ in range(m.in_batch):
        part = part_at(w.parts, number)
        if part.tries:
            add(w.recut_min, m.index, m.left_min / m.in_batch)
        else:
            _charge(w, m, number, m.left_min / m.in_batch)
        number = part.next
    return steps.SPINDLE


@compiled
def _unload(w: World, m: Machine) -> int:
    """Where all parts come out at once, that takes its minutes."""
    time = batch_at(w.batches, m.operation).unload_time
    if time == NONE:
        return steps.BATCH_TAKE
    enter(w, m, codes.STATE_LOADING)
    return wait(w, m, _handle_all(w, m, time, unloading_spot(m.operation)), steps.BATCH_TAKE)


@compiled
def batch_round(w: World, m: Machine, step: int) -> int:
    """The steps of a machine that takes several parts at once, and of its clock. Returns the step after."""
    if step == steps.BATCH_TAKE:
        return _next_part(w, m)
    if step == steps.BATCH_GOT:
        return _load(w, m)
    if step == steps.BATCH_RUN:
        return _run(w, m)
    return _unload(w, m) if step == steps.BATCH_RAN else _watch(w, m)
