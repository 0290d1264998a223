"""Lines that meet: parts taken off others, and joined to others; as `linesim.floor.joining`."""

from __future__ import annotations

import math

from linesim.fast import codes
from linesim.fast.castings import casting
from linesim.fast.common import add, call, count, enter, first_giver, make_ready
from linesim.fast.compiled import compiled, inlined
from linesim.fast.drawers import (
    claim_at,
    feature_at,
    join_at,
    line_at,
    machine_at,
    mix_at,
    part_at,
    place_at,
    pool_at,
    real_at,
)
from linesim.fast.flow import casting_is_ready, leave_line, ship
from linesim.fast.standing import account_buffer, account_line, forget_part, hand_over, stand, stand_in_order, take_out
from linesim.fast.state import Pool, World
from linesim.plan.tables import NONE

__all__ = ["deliver", "give_out_matched", "give_out_matched_castings", "take_off"]

# --- parts of the line that is joined ------------------------------------------------------------------------------


@compiled
def take_off(w: World, number: int, line: int) -> None:
    """Take another line's casting off a part, once; it stands in the yard there with the same number."""
    part, row = part_at(w.parts, number), line_at(w.lines, line)
    if part.is_apart:
        return
    part.is_apart = 1
    row.serial = part.serial
    piece = casting(w, line)
    part_at(w.parts, piece).fellow, part.fellow = number, piece
    stand_in_order(w, pool_at(w.pools, row.yard), piece)
    call(w, row.yard)


@compiled
def deliver(w: World, p: Pool) -> None:
    """Take in finished parts as there is room, which count as shipped; what has lost its fellow is thrown out."""
    account_buffer(w, p)
    row = line_at(w.lines, p.of)
    number = p.first
    while number != NONE:
        after = part_at(w.parts, number).next
        if part_at(w.parts, number).is_lost:
            _throw_out(w, p, row.join, number)
        number = after
    if p.first_giver == NONE or p.stock >= p.capacity:
        return
    while p.first_giver != NONE and p.stock < p.capacity:
        machine = first_giver(w, p)
        m = machine_at(w.machines, machine)
        ship(w, p.of, m)
        leave_line(w, p.of)
        stand(w, p, m.part)
        part_at(w.parts, m.part).is_delivered = 1
        if part_at(w.parts, m.part).is_lost:
            _throw_out(w, p, row.join, m.part)
        make_ready(w, machine)
    call(w, row.meets)


@compiled
def _throw_out(w: World, p: Pool, join: int, number: int) -> None:
    take_out(w, p, number)
    count(w.left_over, join)
    forget_part(w, number)


# --- parts to which they are joined --------------------------------------------------------------------------------


@compiled
def _deviation_um(w: World, number: int, feature: int, scale: float) -> float:
    """Mean deviation of a size from its aim, as the drawing reads it."""
    row, total_um = feature_at(w.features, feature), 0.0
    for place in range(row.places):
        total_um += place_at(w.part_places, number * w.most_places + row.first_place + place).error_um
    return float(total_um / row.places * scale)


@inlined
def _class_of(deviation_um: float, width_um: float) -> int:
    return math.floor(deviation_um / width_um + 0.5)


@compiled
def _fellow(w: World, join: int, number: int) -> int:
    """The part that has stood longest of those that fit another one; ``NONE`` if there is none."""
    row = join_at(w.joins, join)
    each: int = pool_at(w.pools, line_at(w.lines, row.line).delivery).first
    if row.by == codes.JOIN_BY_ANY:
        return each
    if row.by == codes.JOIN_BY_NUMBER:
        own: int = part_at(w.parts, number).fellow
        return own if own != NONE and part_at(w.parts, own).is_delivered else NONE
    wanted = _class_of(_deviation_um(w, number, row.own_feature, row.own_scale), row.width_um)
    while each != NONE:
        if _class_of(_deviation_um(w, each, row.their_feature, row.their_scale), row.width_um) == wanted:
            return each
        each = part_at(w.parts, each).next
    return NONE


@compiled
def _join(w: World, join: int, number: int) -> None:
    """Join its fellow to a part."""
    fellow, row = _fellow(w, join, number), join_at(w.joins, join)
    pool = line_at(w.lines, row.line).delivery
    p = pool_at(w.pools, pool)
    account_buffer(w, p)
    take_out(w, p, fellow)
    count(w.fellows_joined, join)
    if row.by == codes.JOIN_BY_NUMBER:
        part_at(w.parts, number).fellow = NONE
    if row.by == codes.JOIN_BY_CLASS:
        own_um = _deviation_um(w, number, row.own_feature, row.own_scale)
        fit_um = own_um - _deviation_um(w, fellow, row.their_feature, row.their_scale)
        add(w.fit_total, join, fit_um)
        add(w.fit_square, join, fit_um * fit_um)
        least, greatest = real_at(w.fit_least, join), real_at(w.fit_greatest, join)
        least.value, greatest.value = min(least.value, fit_um), max(greatest.value, fit_um)
    if p.first_giver != NONE:
        call(w, pool)
    forget_part(w, fellow)


@compiled
def _matched(w: World, p: Pool) -> int:
    """The oldest part that has all its fellows, which are joined to it, or has lost its own; ``NONE`` for none."""
    row = mix_at(w.mixes, machine_at(w.machines, p.first_claim).operation)
    number: int = p.first
    while number != NONE:
        if part_at(w.parts, number).is_lost:
            return number
        has_all = True
        for join in range(row.first_join, row.end_join):
            has_all = has_all and _fellow(w, join, number) != NONE
        if has_all:
            for join in range(row.first_join, row.end_join):
                _join(w, join, number)
            return number
        number = part_at(w.parts, number).next
    return NONE


@compiled
def _note_waiting(w: World, p: Pool) -> None:
    """Machines that join lines wait for a fellow if their own parts stand there, else for a part."""
    state = codes.STATE_WAITING_FOR_FELLOW if p.stock > 0 else codes.STATE_WAITING_FOR_PART
    claim = p.first_claim
    while claim != NONE:
        m = machine_at(w.machines, claim)
        if m.state != state:
            m.now = w.now
            enter(w, m, state)
        claim = claim_at(w.claims, claim).next


@compiled
def give_out_matched(w: World, p: Pool) -> None:
    """As `linesim.fast.flow.give_out_parts`, where lines are joined."""
    account_buffer(w, p)
    while True:
        number = _matched(w, p) if p.n_claims > 0 else NONE
        if number != NONE:
            hand_over(w, p, number, part_at(w.parts, number).since_min)
        elif p.first_giver != NONE and p.stock < p.capacity:
            machine = first_giver(w, p)
            stand(w, p, machine_at(w.machines, machine).part)
            make_ready(w, machine)
        else:
            break
    _note_waiting(w, p)


@compiled
def give_out_matched_castings(w: World, p: Pool) -> None:
    """As `linesim.fast.flow.give_out_castings` for castings that arrive, where lines are joined."""
    row = line_at(w.lines, p.of)
    account_line(w, p.of)
    while p.n_claims > 0:
        number = _matched(w, p) if casting_is_ready(row, p) else NONE
        if number == NONE:
            break
        hand_over(w, p, number, part_at(w.parts, number).came_min)
    if row.turns_away and p.stock > row.room:
        call(w, row.door)
    _note_waiting(w, p)
