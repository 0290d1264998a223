"""Where parts come into the line, stand and leave it: yard, buffers, dispatch and the scrap heap."""

from __future__ import annotations

from linesim.fast import codes, steps
from linesim.fast.common import add, call, count, first_giver, first_normal, make_ready, tell_part
from linesim.fast.compiled import compiled, inlined
from linesim.fast.drawers import feature_at, line_at, machine_at, part_at, place_at, pool_at, visit_at, whole_at
from linesim.fast.filling import hand
from linesim.fast.heats import cast_from_heat
from linesim.fast.measuring import measure
from linesim.fast.shapes import cast_shape
from linesim.fast.state import Line, Machine, Part, Pool, World
from linesim.fast.trouble import count_shipped_faults
from linesim.fast.weighing import count_field_failures
from linesim.floor.circles import MOST_INSIDE
from linesim.plan.tables import NONE, UNLIMITED

# --- the array of parts --------------------------------------------------------------------------------------------


@inlined
def _new_part(w: World) -> int:
    """A free record in the array of parts; the kernel sees to it beforehand that there is one."""
    number = w.first_free
    w.first_free = part_at(w.parts, number).next
    w.n_free -= 1
    return number


@inlined
def _forget_part(w: World, number: int) -> None:
    part_at(w.parts, number).next = w.first_free
    w.first_free = number
    w.n_free += 1


@inlined
def stand(w: World, p: Pool, number: int) -> None:
    """Put a part behind those that stand in a buffer."""
    part = part_at(w.parts, number)
    part.since_min = w.now
    part.next, part.prev = NONE, p.last
    if p.last == NONE:
        p.first = number
    else:
        part_at(w.parts, p.last).next = number
    p.last = number
    p.stock += 1


@inlined
def oldest(w: World, p: Pool) -> int:
    """Take out the part that has stood longest."""
    number = p.first
    p.first = part_at(w.parts, number).next
    if p.first == NONE:
        p.last = NONE
    p.stock -= 1
    return number


@inlined
def _newest(w: World, p: Pool) -> int:
    """Take out the part that came last."""
    number = p.last
    p.stock -= 1
    if p.stock == 0:
        p.first = p.last = NONE
    else:
        p.last = part_at(w.parts, number).prev
        part_at(w.parts, p.last).next = NONE
    return number


@inlined
def count_wait(w: World, p: Pool, since_min: float) -> None:
    """Count how long a part has stood in a buffer that it leaves."""
    p.served += 1
    stood = w.now - since_min
    if stood > 0.0:
        p.had_to_wait += 1
        p.waited_min += stood


# --- the yard -----------------------------------------------------------------------------------------------------


@inlined
def account_line(w: World, line: int) -> None:
    """Count the parts in the line and the castings that stand before it, up to now."""
    row = line_at(w.lines, line)
    p = pool_at(w.pools, row.yard)
    passed = w.now - p.since_min
    if passed > 0.0:
        add(w.in_line_min, line, row.inside * passed)
        p.level_min += p.stock * passed
        p.extreme = max(p.extreme, p.stock)
        p.since_min = w.now


@compiled
def casting(w: World, line: int) -> int:
    """The next casting, with its own unevenness in every place of every feature."""
    account_line(w, line)
    row = line_at(w.lines, line)
    number = _new_part(w)
    part = part_at(w.parts, number)
    part.serial, part.line, part.came_min = row.serial, line, w.now
    part.is_first_pass, part.tries = 1, 0
    part.heat_life = part.heat_force = 1.0
    if row.heat_castings > 0 or row.heat_min > 0.0:
        cast_from_heat(w, row, part)
    part.rounds = part.repairs = 0
    part.put_right = 0
    part.failed_test = part.blamed = NONE
    row.serial += 1
    row.inside += 1
    if row.inside > MOST_INSIDE and w.trouble == 0:
        w.trouble, w.culprit = steps.CROWDED, line
    count(w.castings, line)
    if row.keeps_visits:
        _clear_visits(w, number)
    for feature in range(row.first_feature, row.end_feature):
        _cast(w, number, part, feature)
    return number


@inlined
def _cast(w: World, number: int, part: Part, feature: int) -> None:
    row = feature_at(w.features, feature)
    for place in range(row.places):
        where = place_at(w.part_places, number * w.most_places + row.first_place + place)
        normal = 0.0
        if row.spread_um > 0.0:
            normal = first_normal(w, codes.PURPOSE_CASTING, feature, part.serial, place)
        where.error_um = row.spread_um * normal
        where.roughness_um = row.cast_roughness_um
        where.scratch_um = 0.0
        where.is_clean = 1
        where.is_machined = 0
        where.rough_cut = NONE
        where.up_by = where.down_by = NONE
        where.up_um, where.down_um = max(where.error_um, 0.0), min(where.error_um, 0.0)
    if row.carries:
        cast_shape(w, number, part.serial, feature)


@inlined
def _clear_visits(w: World, number: int) -> None:
    for position in range(w.most_operations):
        visit = visit_at(w.visits, number * w.most_operations + position)
        visit.spent_min = 0.0
        visit.done_min = 0.0
        visit.fault = 0
        visit.machine = NONE


@inlined
def _is_ready(row: Line, p: Pool) -> bool:
    if row.arrival_time != NONE:
        return p.stock > 0 and row.inside - p.stock < row.pallets
    return row.serial < row.limit and row.inside < row.pallets


@inlined
def give_out_castings(w: World, p: Pool) -> None:
    """Hand castings to the machines that wait; the door turns away what finds no room, where that is the rule."""
    row = line_at(w.lines, p.of)
    account_line(w, p.of)
    while p.n_claims > 0 and _is_ready(row, p):
        number = casting(w, p.of) if row.arrival_time == NONE else oldest(w, p)
        count_wait(w, p, part_at(w.parts, number).came_min)
        hand(w, p, number)
    if row.turns_away and p.stock > row.room:
        call(w, row.door)


@inlined
def turn_away(w: World, line: int) -> None:
    """Send the last castings elsewhere for which there is no room."""
    row = line_at(w.lines, line)
    p = pool_at(w.pools, row.yard)
    while p.stock > row.room:
        account_line(w, line)
        _forget_part(w, _newest(w, p))
        row.inside -= 1
        count(w.turned_away, line)
        whole_at(w.castings, line).value -= 1


@inlined
def part_leaves(w: World, line: int, number: int) -> None:
    """A part has left the line, shipped or scrapped; its pallet comes back."""
    account_line(w, line)
    row = line_at(w.lines, line)
    row.inside -= 1
    if row.pallets != UNLIMITED:
        call(w, row.yard)
    _forget_part(w, number)


# --- buffers ------------------------------------------------------------------------------------------------------


@inlined
def account_buffer(w: World, p: Pool) -> None:
    """Count what stands in a buffer, up to now."""
    passed = w.now - p.since_min
    if passed > 0.0:
        p.level_min += p.stock * passed
        p.extreme = max(p.extreme, p.stock)
        p.since_min = w.now


@inlined
def give_out_parts(w: World, p: Pool) -> None:
    """Hand parts to the machines that wait and take in parts as there is room, until neither goes on."""
    account_buffer(w, p)
    while True:
        if p.n_claims > 0 and p.stock > 0:
            number = oldest(w, p)
            count_wait(w, p, part_at(w.parts, number).since_min)
            hand(w, p, number)
        elif p.first_giver != NONE and (p.stock < p.capacity or p.n_claims > 0):
            machine = first_giver(w, p)
            number = machine_at(w.machines, machine).part
            stand(w, p, number)
            make_ready(w, machine)
        else:
            break


# --- the way out --------------------------------------------------------------------------------------------------


@inlined
def ship_all(w: World, p: Pool) -> None:
    """Take in all parts that stand before the door."""
    while p.first_giver != NONE:
        machine = first_giver(w, p)
        _ship(w, p.of, machine_at(w.machines, machine))
        make_ready(w, machine)


@inlined
def _ship(w: World, line: int, m: Machine) -> None:
    """Count a part as it really is, not as the gauges read it."""
    part = part_at(w.parts, m.part)
    lead_min = w.now - part.came_min
    count(w.shipped, line)
    if part.is_first_pass:
        count(w.shipped_first_pass, line)
    add(w.lead_min, line, lead_min)
    add(w.lead_square_min2, line, lead_min * lead_min)
    row = line_at(w.lines, line)
    is_out = False
    for feature in range(row.first_feature, row.end_feature):
        is_out |= measure(w, m.part, feature)
    if is_out:
        count(w.parts_out, line)
    if row.first_failure < row.end_failure:
        count_field_failures(w, m.part, row.first_failure, row.end_failure)
    if row.has_faults:
        count_shipped_faults(w, row, m.part, is_out)
    part_leaves(w, line, m.part)


@compiled
def scrap(w: World, m: Machine, cause: int) -> int:
    """The part leaves the line as scrap, with the minutes that have gone into it; the machine takes the next one."""
    count(w.scrapped, m.index * w.n_causes + cause)
    count(w.scrapped_castings, m.index)
    count(w.scrapped_parts, m.line)
    line = line_at(w.lines, m.line)
    first, end = line.first_operation, m.position + 1
    if part_at(w.parts, m.part).rounds > 0:
        end = line.end_operation - first
    for position in range(end):
        spent_min = visit_at(w.visits, m.part * w.most_operations + position).spent_min
        add(w.scrapped_min, m.index * w.n_operations + first + position, spent_min)
    if w.is_traced:
        tell_part(w, steps.PART_SCRAPPED, m.index, m.part, part_at(w.parts, m.part).serial)
    part_leaves(w, m.line, m.part)
    return steps.TAKE


@compiled
def count_recut(w: World, m: Machine, cause: int) -> None:
    """The part is cut again."""
    part = part_at(w.parts, m.part)
    part.tries += 1
    part.is_first_pass = m.is_first_try = 0
    count(w.recut, m.index * w.n_causes + cause)
