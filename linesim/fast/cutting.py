"""The spindle runs: strokes and plain minutes, breakdowns in them, and what the cuts do to the part."""

from __future__ import annotations

import math

from linesim.fast import codes, steps
from linesim.fast.additions import minutes_of_cut, set_honing_minutes
from linesim.fast.ageing import age_repaired, fell_due
from linesim.fast.breaking import goes_on
from linesim.fast.changing import replace_broken
from linesim.fast.common import add, count, enter, four_uniforms, minutes_of, wait, wait_apart
from linesim.fast.compiled import compiled, inlined
from linesim.fast.drawers import (
    cut_at,
    feature_at,
    gauge_at,
    line_at,
    mount_at,
    operation_at,
    part_at,
    stroke_at,
    upkeep_at,
    visit_at,
)
from linesim.fast.edges import minutes_of_work, minutes_to_break, wear
from linesim.fast.flow import count_recut, scrap
from linesim.fast.heats import heat_life
from linesim.fast.holding import feel_warmth
from linesim.fast.jobs import call_people, let_go, work
from linesim.fast.mixing import is_for, longest_cut
from linesim.fast.sand import meet_sand
from linesim.fast.shaping import cut_feature
from linesim.fast.state import Machine, World
from linesim.fast.unseen import break_unseen, goes_unseen
from linesim.floor.circles import MOST_BREAKDOWNS
from linesim.plan.tables import NONE

# --- strokes ------------------------------------------------------------------------------------------------------


@inlined
def next_stroke(w: World, m: Machine) -> int:
    """The next stroke of the operation; after the last one its plain minutes, if it has any."""
    operation = operation_at(w.operations, m.operation)
    while m.cursor < operation.end_stroke:
        m.cursor += 1
        row = stroke_at(w.strokes, m.cursor - 1)
        if not is_for(row.types, part_at(w.parts, m.part).type):
            continue
        m.cutting = steps.STROKE
        if row.meets_sand:
            meet_sand(w, m, row.first_cut, row.end_cut)
        return begin_stroke(w, m, m.cursor - 1, row.first_cut, row.end_cut)
    if operation.cycle_time != NONE:
        return steps.PLAIN
    m.is_spoiled = 1 if befalls(w, m, 0, operation.scrap_chance) else 0
    return steps.CUT_DONE


@inlined
def stroke_of(w: World, m: Machine, cut: int) -> int:
    """The stroke in which the operation makes a cut."""
    stroke: int = operation_at(w.operations, m.operation).first_stroke
    while stroke_at(w.strokes, stroke).end_cut <= cut:
        stroke += 1
    return stroke


@compiled
def begin_stroke(w: World, m: Machine, stroke: int, first_cut: int, end_cut: int) -> int:
    """One stroke; it ends early if an edge breaks in it.

    In a recut the other cutters of the stroke run where the metal has gone already, and do not wear.
    """
    enter(w, m, codes.STATE_CUTTING)
    soonest = math.inf
    m.breaking = NONE
    row, part = stroke_at(w.strokes, stroke), part_at(w.parts, m.part)
    # What has been repaired is cut again wherever it goes.
    is_again, life = m.cutting >= steps.RECUT_STROKE or part.rounds > 0, heat_life(w, part)
    some, of_type = row.has_only, part.type
    stroke_min = longest_cut(w, stroke, of_type) if some else row.cut_min
    if row.stops_at_size:
        stroke_min = set_honing_minutes(w, m, first_cut, end_cut, is_again)
    for cut in range(first_cut, end_cut):
        spec = cut_at(w.cuts, cut)
        if some and not is_for(spec.types, of_type):
            continue
        if m.has_unseen and goes_unseen(w, m.first_mount + spec.slot):
            continue
        until = minutes_to_break(mount_at(w.mounts, m.first_mount + spec.slot), spec.life_min * life)
        if until < minutes_of_cut(w, cut) and until < soonest:
            soonest = max(until, 0.0)
            m.breaking = m.first_mount + spec.slot
    cut_min = min(stroke_min, soonest)
    if m.has_unseen:
        break_unseen(w, m, first_cut, end_cut, cut_min)
    if w.is_held:
        feel_warmth(w, m, cut_min * m.pace)
    if m.breaking == NONE:
        for cut in range(first_cut, end_cut):
            if not some or is_for(cut_at(w.cuts, cut).types, of_type):
                cut_feature(w, m, cut, is_again)
    for cut in range(first_cut, end_cut):
        spec = cut_at(w.cuts, cut)
        if some and not is_for(spec.types, of_type):
            continue
        mount, spent_min = mount_at(w.mounts, m.first_mount + spec.slot), min(minutes_of_cut(w, cut), cut_min)
        wear(mount, spent_min, spec.life_min * life, feature_at(w.features, spec.feature).places)
    return _start_spindle(w, m, cut_min)


# --- plain minutes ------------------------------------------------------------------------------------------------


@inlined
def plain_minutes(w: World, m: Machine) -> int:
    """The work of an operation given by its minutes alone; all of it is cutting."""
    enter(w, m, codes.STATE_CUTTING)
    cut_min, life = minutes_of_work(w, m), heat_life(w, part_at(w.parts, m.part))
    m.cutting = steps.PLAIN_MINUTES
    m.breaking = NONE
    for number in range(m.first_mount, m.end_mount):
        mount = mount_at(w.mounts, number)
        until_break = minutes_to_break(mount, mount.expected_life_min * life)
        if until_break < cut_min:
            cut_min = until_break
            m.breaking = number
    for number in range(m.first_mount, m.end_mount):
        mount = mount_at(w.mounts, number)
        wear(mount, cut_min, mount.expected_life_min * life, 1)
    return _start_spindle(w, m, cut_min)


@inlined
def _judge_plain(w: World, m: Machine) -> int:
    """Scrap and recuts by chance, where the operation has no cuts that would show them."""
    operation = operation_at(w.operations, m.operation)
    m.is_spoiled = 1 if befalls(w, m, 0, operation.scrap_chance) else 0
    if m.is_spoiled or not befalls(w, m, 1, operation.recut_chance):
        return steps.CUT_DONE
    count_recut(w, m, codes.CAUSE_OTHER)
    return steps.PLAIN


@inlined
def befalls(w: World, m: Machine, which: int, chance: float) -> bool:
    """Whether something befalls the part that has this chance at each doing of the operation."""
    if chance <= 0.0:
        return False
    part = part_at(w.parts, m.part)
    first, second, _, _ = four_uniforms(w, codes.PURPOSE_YIELD, m.operation, part.serial, part.tries)
    return (first if which == 0 else second) < chance


# --- the spindle --------------------------------------------------------------------------------------------------


@inlined
def _start_spindle(w: World, m: Machine, like_min: float) -> int:
    """Let it run for so many minutes of a like machine."""
    cut_min = like_min * m.pace
    if part_at(w.parts, m.part).tries:
        add(w.recut_min, m.index, cut_min)
    elif line_at(w.lines, m.line).keeps_visits:
        visit_at(w.visits, m.part * w.most_operations + m.position).spent_min += cut_min
    m.left_min = cut_min
    return steps.SPINDLE


@inlined
def run_spindle(w: World, m: Machine) -> int:
    """Cut until done or until the next breakdown."""
    if m.to_failure_min < m.left_min:
        return wait(w, m, m.to_failure_min, steps.FAILED)
    m.to_failure_min -= m.left_min
    if m.breaking == NONE:
        return wait_apart(w, m, m.left_min, steps.SPUN)
    return wait(w, m, m.left_min, steps.SPUN)


@compiled
def failed(w: World, m: Machine) -> int:
    """A breakdown: a fitter is claimed. Or the overhaul has fallen due, and the cut goes on."""
    m.left_min -= m.to_failure_min
    if fell_due(m):
        return steps.SPINDLE
    _count_breakdown(w, m)
    if m.breakdowns > MOST_BREAKDOWNS:
        w.trouble, w.culprit = steps.BREAKDOWNS, m.index
        return steps.BLOCKED
    fitters = operation_at(w.operations, m.operation).fitters
    return call_people(w, m, fitters, codes.STATE_WAITING_FOR_FITTER, steps.REPAIR)


@inlined
def _count_breakdown(w: World, m: Machine) -> None:
    """One more in this cut of this part, or the first."""
    mark = (m.serial * 2**20 + m.cursor) * 2**16 + part_at(w.parts, m.part).tries
    m.breakdowns = m.breakdowns + 1 if m.broken_in == mark else 1
    m.broken_in = mark


@compiled
def repair(w: World, m: Machine) -> int:
    """The repair is made."""
    enter(w, m, codes.STATE_UNDER_REPAIR)
    time = upkeep_at(w.upkeeps, m.index).repair_time
    return work(w, m, minutes_of(w, time, codes.PURPOSE_REPAIR, m.index, m.failures), steps.REPAIRED)


@compiled
def repaired(w: World, m: Machine) -> int:
    """The machine is good until its next failure, and the cut goes on."""
    let_go(w, m)
    count(w.breakdowns, m.index)
    m.failures += 1
    age_repaired(w, m)
    enter(w, m, codes.STATE_CUTTING)
    return steps.SPINDLE


@inlined
def spun(w: World, m: Machine) -> int:
    """The cut is over; if an edge broke, the set is changed at once, and the part is scrap or cut again."""
    if m.breaking != NONE:
        mount = mount_at(w.mounts, m.breaking)
        mount.life_share = mount.break_share
        if goes_on(w, m, m.breaking):
            return replace_broken(w, m, m.breaking, steps.AGAIN)
        scrap(w, m, codes.CAUSE_BROKEN_CUTTER)
        return replace_broken(w, m, m.breaking, steps.TAKE)
    if m.cutting == steps.PLAIN_MINUTES:
        return _judge_plain(w, m)
    if m.cutting >= steps.FIRST_RECUT_STROKE:
        return steps.FIRST_RECUT if m.cutting == steps.FIRST_RECUT_STROKE else steps.BATCH_RAN
    return steps.NEXT_STROKE if m.cutting == steps.STROKE else steps.GAUGE


@compiled
def cut_again(w: World, m: Machine) -> int:
    """The cut in which an edge broke is made again with the next set."""
    if m.cutting == steps.PLAIN_MINUTES:
        return steps.PLAIN
    if m.cutting == steps.RECUT_STROKE:
        row = gauge_at(w.gauges, m.cursor)
        return begin_stroke(w, m, row.recut_stroke, row.recut_cut, row.recut_cut + 1)
    if m.cutting == steps.FIRST_RECUT_STROKE:
        return begin_stroke(w, m, stroke_of(w, m, m.cursor - 1), m.cursor - 1, m.cursor)
    stroke = m.cursor - 1
    return begin_stroke(w, m, stroke, stroke_at(w.strokes, stroke).first_cut, stroke_at(w.strokes, stroke).end_cut)
