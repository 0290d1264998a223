"""A run that begins from a given state: used edges, parts that wait, machines down; as `linesim.floor.beginning`."""

from __future__ import annotations

from linesim.cutting.error_terms import worn_um
from linesim.cutting.life import edge_break_share_after, wear_growth
from linesim.fast import codes, steps
from linesim.fast.castings import casting
from linesim.fast.common import by_calendar, enter, four_uniforms, minutes_of, tell_set
from linesim.fast.compiled import compiled
from linesim.fast.drawers import (
    claim_at,
    cut_at,
    kind_at,
    line_at,
    machine_at,
    mount_at,
    mount_plan_at,
    operation_at,
    pool_at,
    real_at,
    rule_at,
    set_at,
    stroke_at,
    visit_at,
    whole_at,
)
from linesim.fast.holding import feel_warmth, sit
from linesim.fast.jobs import call_people, let_go, work
from linesim.fast.mishaps import disturb, locate, scratch_on_the_way
from linesim.fast.mounting import put_in
from linesim.fast.people import claim_people
from linesim.fast.shaping import cut_feature
from linesim.fast.shelves import expect, put_on_shelf
from linesim.fast.standing import stand
from linesim.fast.state import Machine, World
from linesim.plan.tables import NONE
from linesim.rules.looking import parts_since_look


@compiled
def mount_all(w: World, machine: int) -> None:
    """Before the run, put the first sets into a machine; their edges may have done some parts."""
    m = machine_at(w.machines, machine)
    for number in range(m.first_mount, m.end_mount):
        mount = mount_at(w.mounts, number)
        parts, share, minutes = mount.parts, mount.life_share, mount.cut_min
        put_in(w, m, number, mount.cutter_set)
        if parts > 0:
            _use(w, m, number, parts, share, minutes)


@compiled
def _use(w: World, m: Machine, number: int, parts: int, share_per_part: float, min_per_part: float) -> None:
    """The edge has done its parts, whole so far; where a gauge sets its offset, what it has worn is taken out."""
    mount, plan = mount_at(w.mounts, number), mount_plan_at(w.mount_plans, number)
    kind = kind_at(w.kinds, mount.kind)
    mount.life_share = parts * share_per_part / mount.life_factor
    luck = four_uniforms(w, codes.PURPOSE_EDGE, number, mount.ordinal, 0)[1]
    mount.break_share = edge_break_share_after(mount.life_share, kind.break_shape, kind.break_scale, luck)
    mount.parts, mount.cut_min = parts, parts * min_per_part
    mount.mounted_min = by_calendar(w, -mount.cut_min)
    rule = rule_at(w.rules, mount.rule)
    mount.parts_since_look = parts_since_look(parts, rule.interval, rule.first_look)
    mount.first_left, mount.is_rezeroed = 0, 1 if 0 < plan.rezero_parts <= parts else 0
    operation = operation_at(w.operations, m.operation)
    if operation.first_stroke == operation.end_stroke:
        return
    first = stroke_at(w.strokes, operation.first_stroke).first_cut
    for cut in range(first, stroke_at(w.strokes, operation.end_stroke - 1).end_cut):
        spec = cut_at(w.cuts, cut)
        if spec.slot == number - m.first_mount and whole_at(w.corrected, cut).value:
            growth = wear_growth(mount.life_share, spec.wear_b, spec.wear_tau, spec.wear_gamma)
            aim_um = spec.rezero_aim_um if mount.is_rezeroed else spec.aim_um
            real_at(w.offsets, m.first_offset + cut - first).value = aim_um + worn_um(spec, growth)


@compiled
def stand_as_now(w: World) -> None:
    """Parts that wait as the run begins, made by the operations before as their first machines stand."""
    for line in range(w.n_lines):
        row = line_at(w.lines, line)
        for back in range(row.end_operation - row.first_operation):
            operation = row.end_operation - 1 - back
            first = machine_at(w.machines, operation_at(w.operations, operation).first_machine)
            for _ in range(whole_at(w.waiting, operation).value):
                number = casting(w, line)
                for before in range(row.first_operation, operation):
                    _make(w, machine_at(w.machines, operation_at(w.operations, before).first_machine), number)
                stand(w, pool_at(w.pools, first.source), number)


@compiled
def _make(w: World, m: Machine, number: int) -> None:
    """What an operation has done to a part that waits further down the line."""
    m.part = number
    if line_at(w.lines, m.line).keeps_visits:
        visit = visit_at(w.visits, number * w.most_operations + m.position)
        visit.machine, visit.fault, visit.spent_min, visit.done_min = m.index, 0, 0.0, 0.0
    m.lift_um = locate(w, m)
    if w.is_held:
        sit(w, m)
    operation = operation_at(w.operations, m.operation)
    for stroke in range(operation.first_stroke, operation.end_stroke):
        row = stroke_at(w.strokes, stroke)
        if w.is_held:
            feel_warmth(w, m, 0.0)
        for cut in range(row.first_cut, row.end_cut):
            cut_feature(w, m, cut, False)
    for mount in range(m.first_mount, m.end_mount):
        mount_at(w.mounts, mount).rubbed = 0
    if operation.first_disturbance < operation.end_disturbance:
        disturb(w, m)
    if line_at(w.lines, m.line).n_places > 0:
        scratch_on_the_way(w, m)
    m.part = NONE


@compiled
def stand_set(w: World, number: int) -> None:
    """A set that is not mounted as the run begins: sharp, waiting for the grinders, or on order."""
    cutter_set = set_at(w.sets, number)
    if cutter_set.step == steps.AT_GRINDER:
        claim = w.n_machines + w.n_mounts + number
        # Before all that come off a machine, in the order of kinds and numbers.
        cutter_set.rank = claim_at(w.claims, claim).rank = number - w.n_sets
        if w.is_traced:
            tell_set(w, number, codes.SET_BEFORE_GRINDER, NONE)
        claim_people(w, w.grinders, claim)
    elif cutter_set.step == steps.ARRIVED:
        time = kind_at(w.kinds, cutter_set.kind).lead_time
        minutes = minutes_of(w, time, codes.PURPOSE_SUPPLY, cutter_set.kind, cutter_set.number)
        if w.is_traced:
            tell_set(w, number, codes.SET_ON_ORDER, NONE)
        expect(w, number, minutes, steps.ARRIVED)
    else:
        put_on_shelf(w, number)


@compiled
def finish_repair(w: World, m: Machine, step: int) -> int:
    """Steps of a machine that is down as the run begins. Returns the step after."""
    fitters = operation_at(w.operations, m.operation).fitters
    if step == steps.DOWN:
        return call_people(w, m, fitters, codes.STATE_WAITING_FOR_FITTER, steps.DOWN_REPAIR)
    if step == steps.DOWN_REPAIR:
        enter(w, m, codes.STATE_UNDER_REPAIR)
        return work(w, m, m.left_min, steps.DOWN_OVER)
    let_go(w, m)
    return steps.TAKE
