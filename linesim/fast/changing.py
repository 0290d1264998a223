"""Seeing to the cutters of a machine: looking at edges, and changing what is due in one stop."""

from __future__ import annotations

from linesim.chance.addresses import LOOK_READING_DRAW, change_spot
from linesim.fast import codes, steps
from linesim.fast.common import (
    by_calendar,
    count,
    enter,
    first_normal,
    minutes_of,
)
from linesim.fast.compiled import compiled, inlined
from linesim.fast.crib import HAIR_MM
from linesim.fast.drawers import (
    kind_at,
    mount_at,
    operation_at,
    rule_at,
    set_at,
)
from linesim.fast.handing_in import count_change, count_change_min, hand_in
from linesim.fast.jobs import call_operator, call_people, leave, let_go, work
from linesim.fast.magazine import count_sisters_min, exchange, put_in_sisters, relieves, take_off_sisters, wants_setter
from linesim.fast.mounting import put_in
from linesim.fast.rules import is_due, share_used, wants_look, wear_land_of
from linesim.fast.state import Machine, Mount, World
from linesim.plan.tables import NONE

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
    normal = first_normal(w, codes.PURPOSE_CHECK, m.cursor, m.looks, LOOK_READING_DRAW)
    m.looks += 1
    count(w.looks, m.cursor)
    mount.wear_read_mm = wear_land_of(w, mount) + rule_at(w.rules, mount.rule).look_error_mm * normal
    mount.parts_since_look = 0
    mount.is_seen = mount.is_broken
    m.cursor += 1
    return steps.LOOK


@inlined
def ask_rules(w: World, m: Machine) -> int:
    """Ask the rule of each mounted set; stop if any is due."""
    # A magazine is seen to even if nothing is due.
    any_due = m.has_magazine
    for number in range(m.first_mount, m.end_mount):
        mount = mount_at(w.mounts, number)
        if mount.is_seen or is_due(w, mount):
            mount.role = steps.BROKEN if mount.is_broken else steps.DUE
            any_due = 1
    after = steps.TAKE if m.is_asked else steps.LOAD
    return _change_due(w, m, after) if any_due else after


@compiled
def _change_due(w: World, m: Machine, after: int) -> int:
    """Change what is due: in the cycle if sisters can take over, else in a stop."""
    if m.has_magazine and not wants_setter(w, m):
        return exchange(w, m, after)
    return begin_stop(w, m, NONE, after)


@compiled
def replace_broken(w: World, m: Machine, broken: int, after: int) -> int:
    """An unplanned change after a breakage."""
    if m.has_magazine and relieves(w, mount_at(w.mounts, broken)):
        mount_at(w.mounts, broken).role = steps.BROKEN
        return exchange(w, m, after)
    return begin_stop(w, m, broken, after)


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
            mount.role = steps.BROKEN if mount.is_broken else steps.JOINED
        if mount.role != steps.STAYS:
            _take_off(w, m, mount, number, slot)
            slot += 1
        if mount.n_used:
            slot = take_off_sisters(w, m, mount, slot)
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
    count_change(w, m, mount, number)
    if mount.is_in_place:
        cutter_set.uses_left -= 1
        cutter_set.stock_mm -= dressing_mm
        mount.sharp_set = mount.cutter_set
        return
    cutter_set.wear_land_mm = wear_land_of(w, mount)
    cutter_set.is_broken = 1 if mount.role == steps.BROKEN else 0
    hand_in(w, m, mount.cutter_set, slot, w.n_machines + number)


@inlined
def _dressing_mm(w: World, mount: Mount) -> float:
    """Wheel that a dressing takes: what has worn, and what it takes beyond."""
    kind = kind_at(w.kinds, mount.kind)
    return float(kind.wheel_mm_min * mount.cut_min + kind.dress_mm if kind.dress_mm > 0.0 else 0.0)


@compiled
def call_setter(w: World, m: Machine) -> int:
    """Call a setter, unless the machine dresses by itself all that is to be renewed."""
    m.by_hand = 0
    for number in range(m.first_mount, m.end_mount):
        mount = mount_at(w.mounts, number)
        if mount.n_used or (
            mount.role != steps.STAYS and not (mount.is_in_place and kind_at(w.kinds, mount.kind).by_machine)
        ):
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
        spot = change_spot(w.n_machines - w.n_benches, number)
        if mount.role != steps.STAYS:
            is_broken = mount.role == steps.BROKEN
            total = count_change_min(w, mount.kind, mount.is_in_place, is_broken, spot, mount.ordinal, total)
        if mount.n_used:
            total = count_sisters_min(w, mount, spot, total)
    return work(w, m, total, steps.CHANGED)


@compiled
def changed(w: World, m: Machine) -> int:
    """The setter goes, and sharp edges begin their lives."""
    let_go(w, m)
    for number in range(m.first_mount, m.end_mount):
        mount = mount_at(w.mounts, number)
        if mount.n_used:
            put_in_sisters(w, mount)
        if mount.role != steps.STAYS:
            mount.role = steps.STAYS
            put_in(w, m, number, mount.sharp_set)
    m.stops += 1
    m.renewed_min = by_calendar(w, w.now)
    return m.after_stop
