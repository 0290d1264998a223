"""The shelves of the crib: sharp sets come onto them, and are handed to the machines that wait."""

from __future__ import annotations

from linesim.fast import codes
from linesim.fast.agenda import enter_in_agenda
from linesim.fast.chains import chain_of
from linesim.fast.common import call, first_claim, make_ready, tell_set
from linesim.fast.compiled import compiled, inlined
from linesim.fast.drawers import claim_at, machine_at, mount_at, pool_at, set_at, sister_at
from linesim.fast.state import Pool, World
from linesim.plan.tables import NONE

_put_behind, _take_out = chain_of(set_at)


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
    p.first, p.last = _put_behind(w.sets, number, before, p.first, p.last)
    p.stock += 1
    if w.is_traced:
        tell_set(w, number, codes.SET_ON_SHELF, NONE)
    call(w, shelf)


@compiled
def _take_off_shelf(w: World, p: Pool) -> int:
    """The set that has stood sharp longest."""
    number = p.first
    p.first, p.last = _take_out(w.sets, number, number, p.last)
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
            mount.sharp_set = number = _take_off_shelf(w, p)
        else:
            sister = sister_at(w.sisters, claim - w.first_sister_claim)
            sister.sharp_set = number = _take_off_shelf(w, p)
            mount = mount_at(w.mounts, sister.mount)
        if w.is_traced:
            tell_set(w, number, codes.SET_DRAWN, mount.machine)
        m = machine_at(w.machines, mount.machine)
        m.pending -= 1
        if m.pending == 0:
            make_ready(w, mount.machine)
    p.extreme = min(p.extreme, p.stock)


@inlined
def expect(w: World, number: int, minutes: float, step: int) -> None:
    """A set goes on in so many minutes."""
    set_at(w.sets, number).step = step
    enter_in_agenda(w, w.now + minutes, w.n_machines + number)
