"""Changing over from one part type to another: what a machine that makes several does before it works on a part."""

from __future__ import annotations

from linesim.fast import codes, steps
from linesim.fast.common import count, enter, minutes_of
from linesim.fast.compiled import compiled, inlined
from linesim.fast.drawers import changeover_at, first_piece_at, line_at, mix_at, mount_at, mount_plan_at, part_at
from linesim.fast.flow import scrap
from linesim.fast.jobs import call_people, let_go, work
from linesim.fast.mixing import is_for
from linesim.fast.state import Machine, World
from linesim.plan.tables import NONE


@compiled
def before_part(w: World, m: Machine) -> int:
    """What is seen to before the cutters: a lost fellow, a changeover, an overhaul, a fault. Returns the step after."""
    if m.is_mixed:
        row = mix_at(w.mixes, m.operation)
        if row.first_join < row.end_join and part_at(w.parts, m.part).is_lost:
            step: int = scrap(w, m, codes.CAUSE_OTHER)
            return step
        wanted = _next_type(w, m) if m.part == NONE else part_at(w.parts, m.part).type
        if m.part == NONE or wanted != m.set_to:
            m.next_type = wanted
            return steps.CALL_FOR_CHANGEOVER
    if m.is_due:
        return steps.CALL_FOR_OVERHAUL
    return steps.CALL_FOR_RIGHTING if m.is_found else steps.GOT_PART


@inlined
def _next_type(w: World, m: Machine) -> int:
    """The type behind the one that the machine is set to, among those that come here."""
    row, types = line_at(w.lines, m.line), mix_at(w.mixes, m.operation).types
    after = (m.set_to + 1) % (row.end_type - row.first_type)
    while not is_for(types, after):
        after = (after + 1) % (row.end_type - row.first_type)
    return after


@compiled
def change_over(w: World, m: Machine, step: int) -> int:
    """Steps of a changeover. Returns the step after."""
    if step == steps.CALL_FOR_CHANGEOVER:
        return _call(w, m)
    return _begin(w, m) if step == steps.CHANGE_OVER else _end(w, m)


@compiled
def _call(w: World, m: Machine) -> int:
    """Call whoever changes over, where anything is to be done."""
    row = mix_at(w.mixes, m.operation)
    if min(m.set_to, row.first_changeover) == NONE or m.next_type == m.set_to:
        return _is_set(w, m)
    count(w.changeovers, m.index)
    return call_people(w, m, row.people, codes.STATE_WAITING_FOR_SETTER, steps.CHANGE_OVER)


@compiled
def _begin(w: World, m: Machine) -> int:
    """Changing over takes its minutes."""
    enter(w, m, codes.STATE_CHANGING_OVER)
    line = line_at(w.lines, m.line)
    at = m.set_to * (line.end_type - line.first_type) + m.next_type
    time = changeover_at(w.changeover_times, mix_at(w.mixes, m.operation).first_changeover + at).time
    minutes = minutes_of(w, time, codes.PURPOSE_CHANGEOVER, m.index, m.changeovers)
    m.changeovers += 1
    return work(w, m, minutes, steps.CHANGED_OVER)


@compiled
def _end(w: World, m: Machine) -> int:
    """The people are free again, and the machine is set to the type."""
    let_go(w, m)
    if m.has_firsts and first_piece_at(w.first_pieces, m.operation).after_changeover:
        for number in range(m.first_mount, m.end_mount):
            plan = mount_plan_at(w.mount_plans, number)
            if is_for(plan.types, m.next_type):
                mount_at(w.mounts, number).first_left = plan.first_tries
    return _is_set(w, m)


@inlined
def _is_set(w: World, m: Machine) -> int:
    m.set_to = m.next_type
    if m.part != NONE:
        return steps.GOT_PART
    # Where sets are changed as soon as they are due they have been seen to as the last part left.
    m.is_new_turn, m.is_asked = 1, w.is_eager
    return steps.TAKE
