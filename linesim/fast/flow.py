"""Where parts come into the line, stand and leave it: yard, buffers, dispatch and the scrap heap."""

from __future__ import annotations

from linesim.fast import steps
from linesim.fast.castings import casting
from linesim.fast.common import add, call, count, first_giver, make_ready, tell_part
from linesim.fast.compiled import compiled, inlined
from linesim.fast.drawers import feature_at, line_at, machine_at, part_at, pool_at, visit_at, whole_at
from linesim.fast.fellows import lose_fellow
from linesim.fast.filling import hand
from linesim.fast.measuring import measure
from linesim.fast.mixing import count_shipped_type, is_for
from linesim.fast.standing import account_buffer, account_line, count_wait, forget_part, newest, oldest, stand
from linesim.fast.state import Line, Machine, Pool, World
from linesim.fast.trouble import count_shipped_faults
from linesim.fast.weighing import count_field_failures
from linesim.plan.tables import NONE, UNLIMITED

# --- the yard -----------------------------------------------------------------------------------------------------


@inlined
def casting_is_ready(row: Line, p: Pool) -> bool:
    """Whether a casting may go in now."""
    if row.arrival_time != NONE:
        return p.stock > 0 and row.inside - p.stock < row.pallets
    return row.serial < row.limit and row.inside < row.pallets


@inlined
def give_out_castings(w: World, p: Pool) -> None:
    """Hand castings to the machines that wait; the door turns away what finds no room, where that is the rule."""
    row = line_at(w.lines, p.of)
    account_line(w, p.of)
    while p.n_claims > 0 and casting_is_ready(row, p):
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
        number = newest(w, p)
        forget_part(w, number)
        row.inside -= 1
        count(w.turned_away, line)
        whole_at(w.castings, line).value -= 1
        if row.has_types:
            whole_at(w.castings_of_type, row.first_type + part_at(w.parts, number).type).value -= 1


@inlined
def part_leaves(w: World, line: int, number: int) -> None:
    """A part has left the line, shipped or scrapped; nobody asks for it any more."""
    leave_line(w, line)
    forget_part(w, number)


@inlined
def leave_line(w: World, line: int) -> None:
    """There is one part less in the line; its pallet comes back."""
    account_line(w, line)
    row = line_at(w.lines, line)
    row.inside -= 1
    if row.pallets != UNLIMITED:
        call(w, row.yard)


# --- buffers ------------------------------------------------------------------------------------------------------


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
        m = machine_at(w.machines, machine)
        ship(w, p.of, m)
        part_leaves(w, p.of, m.part)
        make_ready(w, machine)


@inlined
def ship(w: World, line: int, m: Machine) -> None:
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
        if is_for(feature_at(w.features, feature).types, part.type):
            is_out |= measure(w, m.part, feature)
    if is_out:
        count(w.parts_out, line)
    if row.has_types:
        count_shipped_type(w, row, part, lead_min, is_out)
    if row.first_failure < row.end_failure:
        count_field_failures(w, m.part, row.first_failure, row.end_failure)
    if row.has_faults:
        count_shipped_faults(w, row, m.part, is_out)


@compiled
def scrap(w: World, m: Machine, cause: int) -> int:
    """The part leaves the line as scrap, with the minutes that have gone into it; the machine takes the next one."""
    count(w.scrapped, m.index * w.n_causes + cause)
    count(w.scrapped_castings, m.index)
    count(w.scrapped_parts, m.line)
    line = line_at(w.lines, m.line)
    if line.has_types:
        count(w.scrapped_of_type, m.index * w.n_part_types + line.first_type + part_at(w.parts, m.part).type)
    first, end = line.first_operation, m.position + 1
    if part_at(w.parts, m.part).rounds > 0 or part_at(w.parts, m.part).back != NONE:
        end = line.end_operation - first
    for position in range(end):
        spent_min = visit_at(w.visits, m.part * w.most_operations + position).spent_min
        add(w.scrapped_min, m.index * w.n_operations + first + position, spent_min)
    if line.fellows:
        lose_fellow(w, m.part)
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
