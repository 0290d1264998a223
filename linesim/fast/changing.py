"""Seeing to the cutters of a machine: looking at edges, and changing what is due in one stop."""

from __future__ import annotations

import math

from linesim.chance import normal_from_uniform
from linesim.chance.addresses import LOOK_READING_PART, breaking_index, change_spot, saving_index
from linesim.cutting.knowing import kind_life_factor
from linesim.cutting.life import edge_break_share, edge_life_factor, finish_factor
from linesim.cutting.setting import setting_um
from linesim.fast import codes, steps
from linesim.fast.common import (
    add,
    call,
    count,
    enter,
    first_normal,
    four_uniforms,
    minutes_of,
    queue_claim,
    tell_change,
)
from linesim.fast.compiled import compiled, inlined
from linesim.fast.crib import HAIR_MM
from linesim.fast.drawers import (
    cut_at,
    kind_at,
    mount_at,
    mount_plan_at,
    operation_at,
    pool_at,
    real_at,
    rule_at,
    set_at,
    stroke_at,
    whole_at,
)
from linesim.fast.jobs import call_operator, call_people, leave, let_go, work
from linesim.fast.rules import is_due, share_used, wants_look, wear_land_of
from linesim.fast.state import Machine, Mount, World
from linesim.plan.tables import NONE

_SLOTS = 1024

# --- looking and asking --------------------------------------------------------------------------------------------


@compiled
def look_at_edges(w: World, m: Machine) -> int:
    """Look at the next edge whose rule wants it."""
    while m.cursor < m.end_mount:
        mount = mount_at(w.mounts, m.cursor)
        if wants_look(w, mount):
            minutes = minutes_of(w, rule_at(w.rules, mount.rule).look_time, codes.PURPOSE_CHECK, m.cursor, m.looks)
            if m.attends & codes.ATTEND_LOOK and m.here == NONE and minutes > 0.0:
                return call_operator(w, m, steps.LOOK)
            enter(w, m, codes.STATE_CHECKING)
            return work(w, m, minutes, steps.LOOKED)
        m.cursor += 1
    return steps.ASK


@compiled
def note_look(w: World, m: Machine) -> int:
    """The wear land is read, with an error."""
    if m.here != NONE:
        leave(w, m)
    mount = mount_at(w.mounts, m.cursor)
    normal = first_normal(w, codes.PURPOSE_CHECK, m.cursor, m.looks, LOOK_READING_PART)
    m.looks += 1
    count(w.looks, m.cursor)
    mount.wear_read_mm = wear_land_of(w, mount) + rule_at(w.rules, mount.rule).look_error_mm * normal
    mount.parts_since_look = 0
    m.cursor += 1
    return steps.LOOK


@inlined
def ask_rules(w: World, m: Machine) -> int:
    """Ask the rule of each mounted set; stop if any is due."""
    any_due = False
    for number in range(m.first_mount, m.end_mount):
        mount = mount_at(w.mounts, number)
        if is_due(w, mount):
            mount.role = steps.DUE
            any_due = True
    after = steps.TAKE if m.is_asked else steps.LOAD
    return begin_stop(w, m, NONE, after) if any_due else after


# --- one stop -----------------------------------------------------------------------------------------------------


@compiled
def begin_stop(w: World, m: Machine, broken: int, after: int) -> int:
    """Dull sets come off at once; then a sharp one of each kind is waited for."""
    m.stop_for, m.after_stop, m.pending = broken, after, 0
    count(w.stops, m.index)
    slot = 0
    for number in range(m.first_mount, m.end_mount):
        mount = mount_at(w.mounts, number)
        if number == broken:
            mount.role = steps.BROKEN
        elif mount.role == steps.STAYS and share_used(w, mount) >= w.group_past:
            mount.role = steps.JOINED
        if mount.role != steps.STAYS:
            _take_off(w, m, mount, number, slot)
            slot += 1
    if m.pending == 0:
        return steps.CALL_SETTER
    enter(w, m, codes.STATE_WAITING_FOR_SET)
    m.step = steps.CALL_SETTER
    return steps.BLOCKED


@compiled
def _take_off(w: World, m: Machine, mount: Mount, number: int, slot: int) -> None:
    """Renew a set in place if that can be; else hand it in and ask for a sharp one."""
    cutter_set = set_at(w.sets, mount.cutter_set)
    renewal = kind_at(w.kinds, mount.kind).renewal
    dressing_mm = _dressing_mm(w, mount)
    is_used_up = cutter_set.uses_left <= 0 or mount.role == steps.BROKEN or cutter_set.stock_mm - dressing_mm < HAIR_MM
    if renewal == codes.RENEWAL_INDEXED:
        mount.is_in_place = 0 if is_used_up else 1
    else:
        mount.is_in_place = 1 if renewal == codes.RENEWAL_DRESSED and not is_used_up else 0
    _count_change(w, m, mount, number)
    if mount.is_in_place:
        cutter_set.uses_left -= 1
        cutter_set.stock_mm -= dressing_mm
        mount.sharp_set = mount.cutter_set
        return
    cutter_set.wear_land_mm = wear_land_of(w, mount)
    cutter_set.is_broken = 1 if mount.role == steps.BROKEN else 0
    cutter_set.rank = m.rank * _SLOTS + slot
    whole_at(w.counter, w.n_counter).value = mount.cutter_set
    w.n_counter += 1
    call(w, w.crib)
    shelf = w.first_shelf + mount.kind
    queue_claim(w, pool_at(w.pools, shelf), w.n_machines + number)
    call(w, shelf)
    m.pending += 1


@inlined
def _dressing_mm(w: World, mount: Mount) -> float:
    """Wheel that a dressing takes: what has worn, and what it takes beyond."""
    kind = kind_at(w.kinds, mount.kind)
    return float(kind.wheel_mm_min * mount.cut_min + kind.dress_mm if kind.dress_mm > 0.0 else 0.0)


@inlined
def _count_change(w: World, m: Machine, mount: Mount, number: int) -> None:
    if mount.role == steps.BROKEN:
        count(w.unplanned, number)
    elif mount.role == steps.JOINED:
        count(w.joined, number)
    else:
        count(w.planned, number)
    if mount.is_in_place:
        count(w.in_place, number)
    whole_at(w.edge_parts, number).value += mount.parts
    add(w.edge_life, number, mount.life_share)
    add(w.edge_min, number, mount.cut_min)
    if w.is_traced:
        tell_change(w, m.index, number, mount.role, mount.life_share, mount.parts)


@compiled
def call_setter(w: World, m: Machine) -> int:
    """Call a setter, unless the machine dresses by itself all that is to be renewed."""
    m.by_hand = 0
    for number in range(m.first_mount, m.end_mount):
        mount = mount_at(w.mounts, number)
        if mount.role != steps.STAYS and not (mount.is_in_place and kind_at(w.kinds, mount.kind).by_machine):
            m.by_hand = 1
    setters = operation_at(w.operations, m.operation).setters if m.by_hand else NONE
    return call_people(w, m, setters, codes.STATE_WAITING_FOR_SETTER, steps.CHANGE)


@compiled
def change(w: World, m: Machine) -> int:
    """Getting at the spindle, once, and each set's own minutes; more for a set that broke."""
    enter(w, m, codes.STATE_CHANGING)
    total = 0.0
    if m.by_hand:
        access_time = operation_at(w.operations, m.operation).access_time
        total = minutes_of(w, access_time, codes.PURPOSE_CHANGE, m.index, m.stops)
    for number in range(m.first_mount, m.end_mount):
        mount = mount_at(w.mounts, number)
        if mount.role == steps.STAYS:
            continue
        kind = kind_at(w.kinds, mount.kind)
        time = kind.change_time if mount.is_in_place else kind.replace_time
        spot = change_spot(w.n_machines - w.n_benches, number)
        total += minutes_of(w, time, codes.PURPOSE_CHANGE, spot, mount.ordinal)
        if mount.role == steps.BROKEN:
            total += minutes_of(w, kind.broken_time, codes.PURPOSE_CHANGE, spot, breaking_index(mount.ordinal))
            total += minutes_of(w, kind.saving_time, codes.PURPOSE_CHANGE, spot, saving_index(mount.ordinal))
    return work(w, m, total, steps.CHANGED)


@compiled
def changed(w: World, m: Machine) -> int:
    """The setter goes, and sharp edges begin their lives."""
    let_go(w, m)
    for number in range(m.first_mount, m.end_mount):
        mount = mount_at(w.mounts, number)
        if mount.role != steps.STAYS:
            mount.role = steps.STAYS
            put_in(w, m, number, mount.sharp_set)
    m.stops += 1
    return m.after_stop


@compiled
def put_in(w: World, m: Machine, number: int, cutter_set: int) -> None:
    """A sharp edge begins its life: its luck is drawn, and nothing is known of it yet."""
    mount = mount_at(w.mounts, number)
    kind = kind_at(w.kinds, mount.kind)
    mount.cutter_set = cutter_set
    mount.ordinal += 1
    mount.life_share = 0.0
    first, second, third, fourth = four_uniforms(w, codes.PURPOSE_EDGE, number, mount.ordinal, 0)
    mount.life_factor = edge_life_factor(kind.life_cv, first)
    if set_at(w.sets, cutter_set).is_reground:
        mount.life_factor *= kind.reground_life
    if kind.known_sigma > 0.0:
        luck = four_uniforms(w, codes.PURPOSE_KIND_LIFE, mount.kind, 0, 0)[0]
        mount.life_factor *= kind_life_factor(kind.known_sigma, luck)
    mount.break_share = edge_break_share(kind.break_shape, kind.break_scale, second)
    mount.finish_factor = finish_factor(kind.mounted_sigma, third)
    mount.parts = 0
    mount.cut_min = 0.0
    mount.mounted_min = w.now
    mount.parts_since_look = 0
    mount.wear_read_mm = -math.inf
    mount.size_read_um = 0.0
    mount.roughness_read_um = 0.0
    mount.was_rejected = 0
    mount.first_left = mount_plan_at(w.mount_plans, number).first_tries
    mount.is_rezeroed = 0
    mount.awaited, mount.answered_min = NONE, math.inf
    deeper_um = kind.setting_bias_um
    if kind.setting_error_um > 0.0:
        deeper_um = setting_um(kind.setting_error_um, kind.setting_bias_um, normal_from_uniform(fourth))
    _set_offsets(w, m, number - m.first_mount, deeper_um)


@compiled
def _set_offsets(w: World, m: Machine, slot: int, deeper_um: float) -> None:
    """What the gauge had taught about the old edge no longer holds; the sharp one is set to its aim, with an error."""
    operation = operation_at(w.operations, m.operation)
    if operation.first_stroke == operation.end_stroke:
        return
    first = stroke_at(w.strokes, operation.first_stroke).first_cut
    for cut in range(first, stroke_at(w.strokes, operation.end_stroke - 1).end_cut):
        spec = cut_at(w.cuts, cut)
        if spec.slot == slot:
            real_at(w.offsets, m.first_offset + cut - first).value = spec.aim_um + deeper_um
