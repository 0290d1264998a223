"""Presetting: a sharp set is measured and set in the crib by people before it goes onto the shelf."""

from __future__ import annotations

from linesim.fast import codes, steps
from linesim.fast.common import add, count, minutes_of, tell_set
from linesim.fast.compiled import compiled, inlined
from linesim.fast.drawers import claim_at, job_at, kind_at, pool_at, roster_at, set_at, whole_at
from linesim.fast.jobs import ask, is_left_now, leave_at_bell
from linesim.fast.people import claim_people, release_people
from linesim.fast.shelves import expect, put_on_shelf
from linesim.fast.state import World
from linesim.plan.tables import NONE

_BEHIND_MACHINES = 2**50
"""Sets that came to be preset at one instant stand behind the machines that called for somebody then."""


@inlined
def _claim_of(w: World, number: int) -> int:
    return int(w.n_machines + w.n_mounts + number)


@compiled
def make_set_ready(w: World, number: int) -> None:
    """A set is sharp: it goes onto the shelf, or first stands in the queue before the presetters."""
    cutter_set = set_at(w.sets, number)
    if kind_at(w.kinds, cutter_set.kind).preset_time == NONE:
        put_on_shelf(w, number)
        return
    cutter_set.step = steps.AT_PRESETTER
    if w.is_traced:
        tell_set(w, number, codes.SET_BEFORE_PRESETTER, NONE)
    claim = _claim_of(w, number)
    claim_at(w.claims, claim).rank = _BEHIND_MACHINES + cutter_set.kind * 2**32 + cutter_set.number
    p = pool_at(w.pools, w.presetters)
    if p.roster == NONE:
        claim_people(w, w.presetters, claim)
    else:
        j = job_at(w.jobs_at_hand, claim)
        j.since_min, j.is_again = w.now, 0
        ask(w, p, claim)


@compiled
def go_on_presetting(w: World, number: int) -> None:
    """What happens next to a set that stands before the presetters, or is in their hands."""
    step = set_at(w.sets, number).step
    if step == steps.AT_PRESETTER:
        _begin(w, number)
    elif step == steps.PRESETTING_AGAIN:
        _go_on(w, number)
    elif step == steps.PRESETTING_LEFT:
        _hand_over(w, number)
    else:
        _end(w, number)


@compiled
def _begin(w: World, number: int) -> None:
    """A presetter takes the set in hand."""
    kind = set_at(w.sets, number).kind
    claim = _claim_of(w, number)
    if w.is_traced:
        tell_set(w, number, codes.SET_AT_PRESETTER, NONE)
    begun = whole_at(w.presets_begun, kind)
    minutes = minutes_of(w, kind_at(w.kinds, kind).preset_time, codes.PURPOSE_PRESETTING, kind, begun.value)
    begun.value += 1
    count(w.presettings, kind)
    add(w.preset_min, kind, minutes)
    add(w.preset_waited_min, kind, w.now - claim_at(w.claims, claim).since_min)
    if pool_at(w.pools, w.presetters).roster == NONE:
        _work(w, number, minutes)
    else:
        job_at(w.jobs_at_hand, claim).left_min = minutes
        _go_on(w, number)


@compiled
def _go_on(w: World, number: int) -> None:
    """The work passes; it is left and taken up again where those who attend go and hand over."""
    j, r = job_at(w.jobs_at_hand, _claim_of(w, number)), roster_at(w.rosters, pool_at(w.pools, w.presetters).roster)
    if is_left_now(w, j, r):
        _hand_over(w, number)
    elif w.now + j.left_min <= r.next_drop_min:
        _work(w, number, j.left_min)
    else:
        set_at(w.sets, number).step = steps.PRESETTING_LEFT
        leave_at_bell(w, j, r, w.n_machines + number)


@inlined
def _work(w: World, number: int, minutes: float) -> None:
    if minutes > 0.0:
        expect(w, number, minutes, steps.PRESET)
    else:
        _end(w, number)


@compiled
def _hand_over(w: World, number: int) -> None:
    """The set is left, and whoever comes takes it up."""
    claim = _claim_of(w, number)
    release_people(w, w.presetters)
    job_at(w.jobs_at_hand, claim).is_again = 1
    ask(w, pool_at(w.pools, w.presetters), claim)
    set_at(w.sets, number).step = steps.PRESETTING_AGAIN


@compiled
def _end(w: World, number: int) -> None:
    release_people(w, w.presetters)
    put_on_shelf(w, number)
