"""Choosing among the parts that wait, where a machine does not take the oldest one: as `linesim.floor.mixing.Mix`."""

from __future__ import annotations

import math

from linesim.fast import codes
from linesim.fast.common import call, first_claim, first_giver, make_ready
from linesim.fast.compiled import compiled, inlined
from linesim.fast.drawers import changeover_at, line_at, machine_at, mix_at, part_at
from linesim.fast.flow import casting_is_ready, give_out_castings, give_out_parts
from linesim.fast.joining import give_out_matched, give_out_matched_castings
from linesim.fast.standing import account_buffer, account_line, hand_over, stand
from linesim.fast.state import Machine, Pool, World
from linesim.plan.tables import NONE
from linesim.plan.type_tables import TURN_ALL, TURN_WAITING


@inlined
def _first_of_type(w: World, p: Pool, of_type: int) -> int:
    number: int = p.first
    while number != NONE and part_at(w.parts, number).type != of_type:
        number = part_at(w.parts, number).next
    return number


@inlined
def _of_least_changeover(w: World, p: Pool, m: Machine) -> int:
    """The oldest of those to which the changeover is shortest on the average."""
    first, best, least_min = mix_at(w.mixes, m.operation).first_changeover, NONE, math.inf
    row = line_at(w.lines, m.line)
    number = p.first
    while number != NONE:
        of_type, mean_min = part_at(w.parts, number).type, 0.0
        if first != NONE:
            types = row.end_type - row.first_type
            mean_min = changeover_at(w.changeover_times, first + m.set_to * types + of_type).mean_min
        if mean_min < least_min:
            best, least_min = number, mean_min
        number = part_at(w.parts, number).next
    return best


@inlined
def _in_turn(w: World, p: Pool, m: Machine) -> int:
    """The oldest part of the type whose turn it is; ``NONE`` if there is none or the turn is over."""
    if m.is_new_turn:
        m.is_new_turn = 0
        m.turn_left = mix_at(w.mixes, m.operation).turn
        if m.turn_left == TURN_WAITING:
            m.turn_left = 0
            number = p.first
            while number != NONE:
                if part_at(w.parts, number).type == m.set_to:
                    m.turn_left += 1
                number = part_at(w.parts, number).next
    number = _first_of_type(w, p, m.set_to)
    if number == NONE or m.turn_left == 0:
        return NONE
    if m.turn_left != TURN_ALL:
        m.turn_left -= 1
    return number


@compiled
def _chosen(w: World, p: Pool) -> int:
    """Which of the waiting parts the machine takes that has waited longest; ``NONE`` for none of them."""
    m = machine_at(w.machines, p.first_claim)
    if p.sequence == codes.SEQUENCE_IN_TURN:
        return _in_turn(w, p, m)
    if p.stock == 0:
        return NONE
    if m.set_to == NONE:
        return p.first
    if p.sequence == codes.SEQUENCE_SAME_TYPE:
        same = _first_of_type(w, p, m.set_to)
        return same if same != NONE else p.first
    return _of_least_changeover(w, p, m)


@inlined
def _let_go(w: World, p: Pool) -> None:
    """The machine that has waited longest goes on without a part."""
    machine = first_claim(w, p)
    machine_at(w.machines, machine).part = NONE
    make_ready(w, machine)


@compiled
def give_out_chosen(w: World, p: Pool) -> None:
    """As `linesim.fast.flow.give_out_parts`, where machines choose."""
    account_buffer(w, p)
    is_in_turn = p.sequence == codes.SEQUENCE_IN_TURN
    while True:
        number = _chosen(w, p) if p.n_claims > 0 else NONE
        if number != NONE:
            hand_over(w, p, number, part_at(w.parts, number).since_min)
        elif p.first_giver != NONE and (p.stock < p.capacity or (p.n_claims > 0 and not is_in_turn)):
            machine = first_giver(w, p)
            stand(w, p, machine_at(w.machines, machine).part)
            make_ready(w, machine)
        elif p.n_claims > 0 and is_in_turn:
            _let_go(w, p)
        else:
            break


@compiled
def give_out_chosen_castings(w: World, p: Pool) -> None:
    """As `linesim.fast.flow.give_out_castings` for castings that arrive, where machines choose."""
    row = line_at(w.lines, p.of)
    account_line(w, p.of)
    while p.n_claims > 0:
        number = _chosen(w, p) if casting_is_ready(row, p) else NONE
        if number != NONE:
            hand_over(w, p, number, part_at(w.parts, number).came_min)
        elif p.sequence == codes.SEQUENCE_IN_TURN:
            _let_go(w, p)
        else:
            break
    if row.turns_away and p.stock > row.room:
        call(w, row.door)


@inlined
def hand_out_parts(w: World, p: Pool) -> None:
    """Hand out the parts of a buffer, the oldest first or as machines choose."""
    if p.sequence == codes.SEQUENCE_MATCHED:
        give_out_matched(w, p)
    elif p.sequence:
        give_out_chosen(w, p)
    else:
        give_out_parts(w, p)


@inlined
def hand_out_castings(w: World, p: Pool) -> None:
    """Hand out the castings of a yard, the oldest first or as machines choose."""
    if p.sequence == codes.SEQUENCE_MATCHED:
        give_out_matched_castings(w, p)
    elif p.sequence:
        give_out_chosen_castings(w, p)
    else:
        give_out_castings(w, p)
