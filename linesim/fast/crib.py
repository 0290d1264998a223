"""The crib: dull sets come in, are ground or replaced, preset where that is done, and go onto the shelf."""

from __future__ import annotations

from linesim.cutting.regrinding import regrind_past_limit_mm, regrind_takes_mm
from linesim.fast import codes, steps
from linesim.fast.common import make_ready, minutes_of, tell_set
from linesim.fast.compiled import compiled, inlined
from linesim.fast.drawers import claim_at, kind_at, set_at, whole_at
from linesim.fast.people import claim_people, release_people
from linesim.fast.presetting import go_on_presetting, make_set_ready
from linesim.fast.shelves import expect
from linesim.fast.state import CutterSet, World
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
        if w.is_traced:
            tell_set(w, number, codes.SET_BEFORE_GRINDER, NONE)
        claim_people(w, w.grinders, claim)
    elif cutter_set.step == steps.AT_GRINDER:
        if w.is_traced:
            tell_set(w, number, codes.SET_AT_GRINDER, NONE)
        begun = whole_at(w.regrinds_begun, cutter_set.kind)
        begun.value += 1
        time = kind_at(w.kinds, cutter_set.kind).regrind_time
        minutes = minutes_of(w, time, codes.PURPOSE_REGRIND, cutter_set.kind, begun.value - 1)
        expect(w, number, minutes, steps.GROUND)
    elif cutter_set.step == steps.GROUND:
        release_people(w, w.grinders)
        cutter_set.is_reground = 1
        whole_at(w.regrinds, cutter_set.kind).value += 1
        make_set_ready(w, number)
    elif cutter_set.step == steps.TO_ORDER:
        whole_at(w.bought, cutter_set.kind).value += 1
        if w.is_traced:
            tell_set(w, number, codes.SET_ON_ORDER, NONE)
        time = kind_at(w.kinds, cutter_set.kind).lead_time
        minutes = minutes_of(w, time, codes.PURPOSE_SUPPLY, cutter_set.kind, cutter_set.number)
        expect(w, number, minutes, steps.ARRIVED)
    elif cutter_set.step == steps.ARRIVED:
        make_set_ready(w, number)
    else:
        go_on_presetting(w, number)
