"""The magazine of a machine: sister cutters take over within the cycle; as `linesim.floor.magazine`."""

from __future__ import annotations

from linesim.fast import codes, steps
from linesim.fast.common import by_calendar, count, enter, minutes_of, wait
from linesim.fast.compiled import compiled
from linesim.fast.drawers import kind_at, magazine_at, mount_at, operation_at, pool_at, set_at, sister_at, trace_at
from linesim.fast.handing_in import count_change, count_change_min, hand_in
from linesim.fast.mounting import put_in
from linesim.fast.rules import wear_land_of
from linesim.fast.state import Machine, Mount, World
from linesim.plan.tables import NONE


@compiled
def wants_setter(w: World, m: Machine) -> bool:
    """Whether there has to be a stop: a set is due that has no sister left, or the used ones are to be renewed.

    For these alone nobody is waited for who is not there.
    """
    row = magazine_at(w.magazines, m.operation)
    most, is_last = 0, False
    for number in range(m.first_mount, m.end_mount):
        mount = mount_at(w.mounts, number)
        most = max(most, mount.n_used)
        is_last |= mount.role != steps.STAYS and mount.n_used == mount.n_sisters
    is_new_shift = row.every_shift != 0 and by_calendar(w, w.now) // w.shift_min > m.renewed_min // w.shift_min
    is_full = 0 < row.used_up <= most
    return bool(is_last or ((is_full or (most > 0 and is_new_shift)) and _is_setter_there(w, m)))


@compiled
def _is_setter_there(w: World, m: Machine) -> bool:
    setters = operation_at(w.operations, m.operation).setters
    return bool(setters == NONE or pool_at(w.pools, setters).capacity > 0)


@compiled
def relieves(w: World, broken: Mount) -> bool:
    """Whether a sister takes over from a set that broke; the setter comes where its part is salvaged."""
    return broken.n_used < broken.n_sisters and kind_at(w.kinds, broken.kind).broken != codes.BREAKAGE_SALVAGE


@compiled
def exchange(w: World, m: Machine, after: int) -> int:
    """The next sisters take over within the cycle, without the setter. Returns the step after."""
    total, any_due = 0.0, False
    for number in range(m.first_mount, m.end_mount):
        mount = mount_at(w.mounts, number)
        if mount.role == steps.STAYS:
            continue
        any_due = True
        cutter_set = set_at(w.sets, mount.cutter_set)
        is_broken = mount.role == steps.BROKEN
        is_indexed = kind_at(w.kinds, mount.kind).renewal == codes.RENEWAL_INDEXED
        mount.is_in_place = 1 if is_indexed and cutter_set.uses_left > 0 and not is_broken else 0
        cutter_set.wear_land_mm, cutter_set.is_broken = wear_land_of(w, mount), 1 if is_broken else 0
        count_change(w, m, mount, number)
        if w.is_traced:
            trace_at(w.trace_rows, w.n_trace - 1).role += steps.BY_SISTER
        time = magazine_at(w.magazines, m.operation).exchange_time
        total += minutes_of(w, time, codes.PURPOSE_EXCHANGE, number, mount.ordinal)
    if not any_due:
        return after
    enter(w, m, codes.STATE_CHANGING)
    m.after_stop = after
    return wait(w, m, total, steps.EXCHANGED)


@compiled
def exchanged(w: World, m: Machine) -> int:
    """The next sisters are at work; those before them wait in the magazine."""
    for number in range(m.first_mount, m.end_mount):
        mount = mount_at(w.mounts, number)
        if mount.role != steps.STAYS:
            mount.role = steps.STAYS
            sister = sister_at(w.sisters, mount.first_sister + mount.n_used)
            mount.n_used += 1
            fresh = sister.cutter_set
            sister.cutter_set = mount.cutter_set
            put_in(w, m, number, fresh)
            count(w.taken_over, number)
    return m.after_stop


# --- a stop -------------------------------------------------------------------------------------------------------


@compiled
def take_off_sisters(w: World, m: Machine, mount: Mount, slot: int) -> int:
    """Those that are used up are renewed in place, or handed in for sharp ones. Returns the next slot."""
    for at in range(mount.first_sister, mount.first_sister + mount.n_used):
        sister = sister_at(w.sisters, at)
        cutter_set = set_at(w.sets, sister.cutter_set)
        is_indexed = kind_at(w.kinds, mount.kind).renewal == codes.RENEWAL_INDEXED
        sister.is_in_place = 1 if is_indexed and cutter_set.uses_left > 0 and cutter_set.is_broken == 0 else 0
        sister.was_broken = cutter_set.is_broken
        if sister.is_in_place:
            cutter_set.uses_left -= 1
            sister.sharp_set = sister.cutter_set
        else:
            hand_in(w, m, sister.cutter_set, slot, w.first_sister_claim + at)
        slot += 1
    return slot


@compiled
def count_sisters_min(w: World, mount: Mount, spot: int, total: float) -> float:
    """Minutes of a change so far, with those of the sisters that are renewed."""
    for used in range(mount.n_used):
        sister = sister_at(w.sisters, mount.first_sister + used)
        ordinal = mount.ordinal - mount.n_used + used
        total = count_change_min(w, mount.kind, sister.is_in_place, sister.was_broken != 0, spot, ordinal, total)
    return total


@compiled
def put_in_sisters(w: World, mount: Mount) -> None:
    """Renewed sisters are the first to take over."""
    for at in range(mount.first_sister, mount.first_sister + mount.n_used):
        sister_at(w.sisters, at).cutter_set = sister_at(w.sisters, at).sharp_set
    mount.n_used = 0
