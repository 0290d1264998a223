"""Ways between operations: parts on their way, by hand or on a conveyor, and carriers; as `linesim.floor.transport`."""

from __future__ import annotations

from linesim.chance.addresses import carrying_index, carrying_spot
from linesim.fast import codes, steps
from linesim.fast.agenda import enter_in_agenda
from linesim.fast.common import add, call, first_giver, make_ready, minutes_of, queue_claim, queue_giver, wait
from linesim.fast.compiled import compiled, inlined
from linesim.fast.drawers import claim_at, machine_at, move_at, part_at, pool_at, way_at
from linesim.fast.filling import hand
from linesim.fast.part_state import PartWay
from linesim.fast.standing import account_buffer, count_wait, oldest, stand
from linesim.fast.state import Machine, Pool, World
from linesim.plan.shape_tables import Way
from linesim.plan.tables import NONE

__all__ = ["carry", "give_out_way"]

BY_MINUTES = int(Way.MINUTES)

# --- parts that keep their order -----------------------------------------------------------------------------------


@compiled
def give_out_way(w: World, p: Pool) -> None:
    """Hand over parts that are there and let others set out, until neither goes on."""
    account_buffer(w, p)
    way = way_at(w.ways, p.of)
    while True:
        if p.n_claims > 0 and p.stock > 0 and w.now >= _there_min(w, p, way):
            _hand_over(w, p, way)
        elif p.first_giver != NONE and _has_room(w, p) and _moved_min(w, way) >= way.next_min + way.lag_min:
            giver = first_giver(w, p)
            _set_out(w, p, way, machine_at(w.machines, giver).part)
            make_ready(w, giver)
        else:
            break
    _wind_both(w, p, way)


@inlined
def _there_min(w: World, p: Pool, way: PartWay) -> float:
    """When the first part is at the end."""
    return max(part_at(w.parts, p.first).since_min + way.lag_min, way.free_min)


@inlined
def _moved_min(w: World, way: PartWay) -> float:
    """Up to when the way has moved."""
    return w.now if way.stands_since < 0.0 else way.stands_since


@compiled
def _has_room(w: World, p: Pool) -> bool:
    wanted = 0
    if move_at(w.moves, p.of).way == BY_MINUTES:
        wanted = p.n_claims
        if p.fills:
            wanted = 0
            number = p.first_claim
            while number != NONE:
                m = machine_at(w.machines, number)
                wanted += m.batch - m.in_batch
                number = claim_at(w.claims, number).next
    return p.stock - wanted < p.capacity


@inlined
def _hand_over(w: World, p: Pool, way: PartWay) -> None:
    row = move_at(w.moves, p.of)
    number = oldest(w, p)
    count_wait(w, p, part_at(w.parts, number).since_min + way.lag_min)
    if way.stands_since >= 0.0:
        way.lag_min += w.now - way.stands_since
        way.stands_since = -1.0
    if row.accumulates:
        way.free_min = w.now + row.gap_min
    hand(w, p, number)


@inlined
def _set_out(w: World, p: Pool, way: PartWay, number: int) -> None:
    row, part = move_at(w.moves, p.of), part_at(w.parts, number)
    now_min = _moved_min(w, way) - way.lag_min
    spot, index = carrying_spot(p.of, 0, part.rounds), carrying_index(part.serial, part.rounds)
    minutes = minutes_of(w, row.time, codes.PURPOSE_CARRY, spot, index)
    way.last_min = max(now_min + minutes, way.last_min)
    way.next_min = now_min + row.gap_min
    add(w.moving_min, p.of, way.last_min - now_min)
    stand(w, p, number)
    part.since_min = way.last_min


@inlined
def _wind_both(w: World, p: Pool, way: PartWay) -> None:
    """See to it that what happens next by itself is noticed."""
    if p.stock > 0:
        there_min = _there_min(w, p, way)
        if w.now < there_min:
            _wind(w, machine_at(w.machines, way.head), there_min)
        elif move_at(w.moves, p.of).accumulates == 0 and way.stands_since < 0.0:
            way.stands_since = w.now
    free_min = way.next_min + way.lag_min
    if p.first_giver != NONE and way.stands_since < 0.0 and w.now < free_min and _has_room(w, p):
        _wind(w, machine_at(w.machines, way.entry), free_min)


@compiled
def _wind(w: World, clock: Machine, due_min: float) -> None:
    clock.due_min = due_min
    if clock.runs == 0:
        clock.runs = 1
        enter_in_agenda(w, w.now + (due_min - w.now), clock.index)


@inlined
def _ring(w: World, clock: Machine) -> int:
    """A moment of the way has come, or has been put off."""
    if w.now < clock.due_min:
        enter_in_agenda(w, w.now + (clock.due_min - w.now), clock.index)
    else:
        clock.runs = 0
        call(w, clock.source)
    clock.step = steps.WAY_CLOCK
    return steps.BLOCKED


# --- carriers ------------------------------------------------------------------------------------------------------


@compiled
def carry(w: World, m: Machine, step: int) -> int:
    """The steps of a carrier, and of a way's clock. Returns the step after."""
    if step == steps.CARRY_TAKE:
        queue_claim(w, pool_at(w.pools, m.source), m.index)
        call(w, m.source)
        m.step = steps.CARRY_GOT
        return steps.BLOCKED
    if step == steps.CARRY_GOT:
        return _set_off(w, m)
    if step == steps.CARRY_THERE:
        m.runs = 0
        queue_giver(w, pool_at(w.pools, m.target), m.index)
        call(w, m.target)
        m.step = steps.CARRY_LEFT
        return steps.BLOCKED
    if step == steps.CARRY_LEFT:
        return _go_back(w, m)
    if step == steps.CARRY_BACK:
        m.runs = 0
        m.moving_min += m.left_min
        m.carrying_min += w.now - m.due_min
        return steps.CARRY_TAKE
    return _ring(w, m)


@inlined
def _set_off(w: World, m: Machine) -> int:
    """A part has been given; the way takes its minutes."""
    part = part_at(w.parts, m.part)
    m.serial, m.errand, m.due_min, m.runs = part.serial, part.rounds, w.now, 1
    time = move_at(w.moves, m.operation).time
    spot, index = carrying_spot(m.operation, 0, m.errand), carrying_index(m.serial, m.errand)
    m.left_min = minutes_of(w, time, codes.PURPOSE_CARRY, spot, index)
    return wait(w, m, m.left_min, steps.CARRY_THERE)


@inlined
def _go_back(w: World, m: Machine) -> int:
    """The part has found room; the carrier comes back empty."""
    m.runs = 1
    time, minutes = move_at(w.moves, m.operation).back_time, m.left_min
    if time != NONE:
        spot, index = carrying_spot(m.operation, 1, m.errand), carrying_index(m.serial, m.errand)
        minutes = minutes_of(w, time, codes.PURPOSE_CARRY, spot, index)
    return wait(w, m, minutes, steps.CARRY_BACK)
