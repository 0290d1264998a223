"""The beginning and the end of counting: what machines, pools and lines have counted goes into the tally."""

from __future__ import annotations

import math

from linesim.fast import codes, steps
from linesim.fast.agenda import next_minute
from linesim.fast.common import add
from linesim.fast.compiled import inlined
from linesim.fast.drawers import line_at, machine_at, operation_at, pool_at, real_at, whole_at, world_at
from linesim.fast.shifts import is_over, start_counting_shifts, stop_counting_shifts
from linesim.fast.state import Line, Pool, World
from linesim.law import law
from linesim.plan.tables import NONE, UNLIMITED

__all__ = ["count_from_now", "sum_up"]


@law
def count_from_now(world: int) -> None:
    """Forget what machines and pools of the world at this address have counted."""
    w = world_at(world, 0)
    for machine in range(w.n_machines - w.n_benches):
        m = machine_at(w.machines, machine)
        m.state_since = w.now
        m.worked = m.passed = m.first_pass = 0
    for carrier in range(w.n_machines - w.n_benches, w.n_machines):
        m = machine_at(w.machines, carrier)
        m.moving_min = m.carrying_min = 0.0
    for number in range(w.n_pools):
        p = pool_at(w.pools, number)
        p.since_min = w.now
        p.level_min = p.queue_min = p.waited_min = 0.0
        p.served = p.had_to_wait = 0
        p.extreme = p.stock
    start_counting_shifts(w)


@law
def sum_up(world: int) -> int:
    """Count up to now, and put everything into the tally.

    Parameters
    ----------
    world : int
        Address of the world.

    Returns
    -------
    int
        ``MOVES`` if every machine of a line that has parts to make goes on some day, ``STUCK`` if nothing is due any
        more in such a line, ``MAY_STAND`` if it takes a closer look to see.
    """
    w = world_at(world, 0)
    _sum_machines(w)
    _sum_carriers(w)
    for line in range(w.n_lines):
        row = line_at(w.lines, line)
        add(w.in_line_min, line, row.inside * (w.now - pool_at(w.pools, row.yard).since_min))
        whole_at(w.in_line_at_end, line).value = row.inside
    stop_counting_shifts(w)
    for number in range(w.n_pools):
        _sum_pool(w, pool_at(w.pools, number), number)
    return _how_it_stands(w)


@inlined
def _sum_machines(w: World) -> None:
    for machine in range(w.n_machines - w.n_benches):
        m = machine_at(w.machines, machine)
        add(w.state_min, machine * w.n_states + m.state, w.now - m.state_since)
        m.state_since = w.now
        whole_at(w.worked, machine).value = m.worked
        whole_at(w.passed, machine).value = m.passed
        whole_at(w.first_pass, machine).value = m.first_pass


@inlined
def _sum_carriers(w: World) -> None:
    """Carrier by carrier, as several may come back at one instant, in no order of their own."""
    for carrier in range(w.n_machines - w.n_benches, w.n_machines):
        m = machine_at(w.machines, carrier)
        add(w.moving_min, m.operation, m.moving_min)
        add(w.carrying_min, m.operation, m.carrying_min)
        m.moving_min = m.carrying_min = 0.0


@inlined
def _sum_pool(w: World, p: Pool, number: int) -> None:
    passed = w.now - p.since_min
    p.since_min = w.now
    if p.way == steps.PEOPLE:
        p.level_min += (p.capacity - p.free) * passed
        p.queue_min += p.n_claims * passed
        # The grinders stand before the people among the pools, and behind them in the tally.
        at = w.n_people - 1 if number == w.grinders else number - w.grinders - 1
        real_at(w.busy_min, at).value = p.level_min
        whole_at(w.jobs, at).value = p.served
        real_at(w.waited_min, at).value = p.waited_min
        real_at(w.queue_min, at).value = p.queue_min
        return
    p.level_min += p.stock * passed
    if p.way == steps.SHELF:
        whole_at(w.set_claims, p.of).value = p.served
        real_at(w.set_waited_min, p.of).value = p.waited_min
        real_at(w.sharp_min, p.of).value = p.level_min
        whole_at(w.fewest_sharp, p.of).value = p.extreme
    elif p.way == steps.DELIVERY:
        real_at(w.fellows_min, line_at(w.lines, p.of).join).value = p.level_min
    elif p.way == steps.BUFFER or p.way == steps.YARD or p.way == steps.WAY:  # noqa: PLR1714 - compiled code has no sets
        if passed > 0.0:
            p.extreme = max(p.extreme, p.stock)
        operation = line_at(w.lines, p.of).first_operation if p.way == steps.YARD else p.of
        real_at(w.stock_min, operation).value = p.level_min
        whole_at(w.most_stock, operation).value = p.extreme
        whole_at(w.taken, operation).value = p.served
        whole_at(w.had_to_wait, operation).value = p.had_to_wait
        real_at(w.stood_min, operation).value = p.waited_min


# --- whether all goes on -------------------------------------------------------------------------------------------


@inlined
def _how_it_stands(w: World) -> int:
    is_at_end = is_over(w) if w.n_rosters > 0 else math.isinf(next_minute(w))
    stands = steps.MOVES
    for line in range(w.n_lines):
        row = line_at(w.lines, line)
        if row.inside > 0 or row.serial < min(row.limit, UNLIMITED):
            if is_at_end:
                return steps.STUCK
            if row.fellows or not (_is_fed(w, row) and _has_room(w, row)):
                stands = steps.MAY_STAND
    return stands


@inlined
def _is_fed(w: World, row: Line) -> bool:
    """Whether each machine that waits for a part has one before it that surely moves; none waits for a set."""
    comes = row.arrival_time != NONE and row.serial < min(row.limit, UNLIMITED)
    first = operation_at(w.operations, row.first_operation).first_machine
    end = operation_at(w.operations, row.end_operation - 1).end_machine
    for machine in range(first, end):
        state = machine_at(w.machines, machine).state
        if state == codes.STATE_WAITING_FOR_SET or state == codes.STATE_FILLING:  # noqa: PLR1714
            return False
        if state == codes.STATE_WAITING_FOR_FELLOW:
            return False
        if state != codes.STATE_WAITING_FOR_PART and state != codes.STATE_HELD_UP:  # noqa: PLR1714
            comes = True
    for operation in range(row.first_operation, row.end_operation):
        spec, moves = operation_at(w.operations, operation), False
        for machine in range(spec.first_machine, spec.end_machine):
            state = machine_at(w.machines, machine).state
            if state == codes.STATE_WAITING_FOR_PART and not comes:
                return False
            if state != codes.STATE_HELD_UP:
                moves = True
        comes = moves
    return True


@inlined
def _has_room(w: World, row: Line) -> bool:
    """Whether each machine that holds a part has one behind it that surely moves; none waits for a set."""
    is_taken = True
    for back in range(row.end_operation - row.first_operation):
        spec, moves = operation_at(w.operations, row.end_operation - 1 - back), False
        for machine in range(spec.first_machine, spec.end_machine):
            state = machine_at(w.machines, machine).state
            if state == codes.STATE_HELD_UP and not is_taken:
                return False
            if state != codes.STATE_WAITING_FOR_PART:
                moves = True
        is_taken = moves
    return True
