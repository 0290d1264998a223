"""The crib: dull sets come in, are ground or replaced, and stand sharp on the shelf."""

from __future__ import annotations

from linesim.cutting.regrinding import regrind_past_limit_mm, regrind_takes_mm
from linesim.fast import codes, steps
from linesim.fast.agenda import enter_in_agenda
from linesim.fast.common import call, first_claim, make_ready, minutes_of
from linesim.fast.compiled import compiled, inlined
from linesim.fast.drawers import claim_at, kind_at, machine_at, mount_at, pool_at, set_at, sister_at, whole_at
from linesim.fast.people import claim_people, release_people
from linesim.fast.state import CutterSet, Pool, World
from linesim.plan.tables import NONE

HAIR_MM = -1e-9
"""Tenths of a millimetre do not add up exactly: a hair less than needed is enough."""

# --- the counter ---------------------------------------------------------------------------------------------------


@inlined
def give_out_counter(w: World) -> None:
    """Send what lies on the counter to the grinders, or order anew; in the order of rank."""
    for at in range(1, w.n_counter):
        _sink(w, at)
    for at in range(w.n_counter):
        number = whole_at(w.counter, at).value
        cutter_set = set_at(w.sets, number)
        if cutter_set.is_broken == 0 and _can_grind(w, cutter_set):
            cutter_set.step = steps.TO_GRINDER
        else:
            make_new(w, cutter_set)
            cutter_set.step = steps.TO_ORDER
        make_ready(w, w.n_machines + number)
    w.n_counter = 0


@inlined
def _sink(w: World, at: int) -> None:
    number = whole_at(w.counter, at).value
    rank = set_at(w.sets, number).rank
    while at > 0 and set_at(w.sets, whole_at(w.counter, at - 1).value).rank > rank:
        whole_at(w.counter, at).value = whole_at(w.counter, at - 1).value
        at -= 1
    whole_at(w.counter, at).value = number


@inlined
def _can_grind(w: World, cutter_set: CutterSet) -> bool:
    """Take the metal for one regrind off the set's stock, if there is enough."""
    kind = kind_at(w.kinds, cutter_set.kind)
    if kind.renewal != codes.RENEWAL_REGROUND:
        return False
    land_mm = cutter_set.wear_land_mm
    takes_mm = regrind_takes_mm(land_mm, kind.per_wear_land, kind.margin_mm)
    need_mm = regrind_past_limit_mm(takes_mm, land_mm, kind.wear_limit_mm, kind.past_limit)
    if cutter_set.stock_mm - need_mm < HAIR_MM:
        return False
    cutter_set.stock_mm -= need_mm
    return True


@compiled
def make_new(w: World, cutter_set: CutterSet) -> None:
    """A set as it comes from the maker takes the place of one that is used up."""
    kind = kind_at(w.kinds, cutter_set.kind)
    so_far = whole_at(w.bought_so_far, cutter_set.kind)
    cutter_set.number = so_far.value
    so_far.value += 1
    cutter_set.stock_mm = kind.stock_mm
    cutter_set.uses_left = kind.uses - 1
    cutter_set.is_reground = 0


# --- a set outside the machines -----------------------------------------------------------------------------------


@compiled
def go_on_with_set(w: World, number: int) -> None:
    """What happens next to a set outside the machines."""
    cutter_set = set_at(w.sets, number)
    if cutter_set.step == steps.TO_GRINDER:
        cutter_set.step = steps.AT_GRINDER
        claim = w.n_machines + w.n_mounts + number
        claim_at(w.claims, claim).rank = cutter_set.rank
        claim_people(w, w.grinders, claim)
    elif cutter_set.step == steps.AT_GRINDER:
        begun = whole_at(w.regrinds_begun, cutter_set.kind)
        begun.value += 1
        time = kind_at(w.kinds, cutter_set.kind).regrind_time
        minutes = minutes_of(w, time, codes.PURPOSE_REGRIND, cutter_set.kind, begun.value - 1)
        expect(w, number, minutes, steps.GROUND)
    elif cutter_set.step == steps.GROUND:
        release_people(w, w.grinders)
        cutter_set.is_reground = 1
        whole_at(w.regrinds, cutter_set.kind).value += 1
        put_on_shelf(w, number)
    elif cutter_set.step == steps.TO_ORDER:
        whole_at(w.bought, cutter_set.kind).value += 1
        time = kind_at(w.kinds, cutter_set.kind).lead_time
        minutes = minutes_of(w, time, codes.PURPOSE_SUPPLY, cutter_set.kind, cutter_set.number)
        expect(w, number, minutes, steps.ARRIVED)
    else:
        put_on_shelf(w, number)


@inlined
def expect(w: World, number: int, minutes: float, step: int) -> None:
    """A set goes on in so many minutes."""
    set_at(w.sets, number).step = step
    enter_in_agenda(w, w.now + minutes, w.n_machines + number)


# --- shelves ------------------------------------------------------------------------------------------------------


@inlined
def account_shelf(w: World, p: Pool) -> None:
    """Count the sharp sets, up to now."""
    passed = w.now - p.since_min
    if passed > 0.0:
        p.level_min += p.stock * passed
        p.since_min = w.now


@compiled
def put_on_shelf(w: World, number: int) -> None:
    """A sharp set comes onto the shelf, behind those that came before; of equals the older one stands first."""
    cutter_set = set_at(w.sets, number)
    shelf = w.first_shelf + cutter_set.kind
    p = pool_at(w.pools, shelf)
    account_shelf(w, p)
    cutter_set.sharp_since = w.now
    before = p.last
    while before != NONE and set_at(w.sets, before).sharp_since == w.now:
        if set_at(w.sets, before).number < cutter_set.number:
            break
        before = set_at(w.sets, before).prev
    after = p.first if before == NONE else set_at(w.sets, before).next
    cutter_set.prev, cutter_set.next = before, after
    if before == NONE:
        p.first = number
    else:
        set_at(w.sets, before).next = number
    if after == NONE:
        p.last = number
    else:
        set_at(w.sets, after).prev = number
    p.stock += 1
    call(w, shelf)


@compiled
def _take_off_shelf(w: World, p: Pool) -> int:
    """The set that has stood sharp longest."""
    number = p.first
    after = set_at(w.sets, number).next
    p.first = after
    if after == NONE:
        p.last = NONE
    else:
        set_at(w.sets, after).prev = NONE
    p.stock -= 1
    return number


@inlined
def give_out_sets(w: World, p: Pool) -> None:
    """Hand sharp sets to the longest waiting; a machine goes on when it has all that it waits for."""
    while p.stock > 0 and p.n_claims > 0:
        account_shelf(w, p)
        claim = first_claim(w, p)
        p.waited_min += w.now - claim_at(w.claims, claim).since_min
        p.served += 1
        if claim < w.first_sister_claim:
            mount = mount_at(w.mounts, claim - w.n_machines)
            mount.sharp_set = _take_off_shelf(w, p)
        else:
            sister = sister_at(w.sisters, claim - w.first_sister_claim)
            sister.sharp_set = _take_off_shelf(w, p)
            mount = mount_at(w.mounts, sister.mount)
        m = machine_at(w.machines, mount.machine)
        m.pending -= 1
        if m.pending == 0:
            make_ready(w, mount.machine)
    p.extreme = min(p.extreme, p.stock)
