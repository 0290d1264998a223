"""Pools of people, the tool grinders among them."""

from __future__ import annotations

from linesim.fast.agenda import enter_in_agenda
from linesim.fast.common import call, first_claim, make_ready, queue_claim, take_out_claim
from linesim.fast.compiled import compiled, inlined
from linesim.fast.drawers import attending_at, claim_at, job_at, machine_at, pool_at, roster_at
from linesim.fast.people_state import Roster
from linesim.fast.shifts import account_people, count_nobody, first_of_rosters, is_staffed
from linesim.fast.state import Pool, World
from linesim.plan.tables import NONE


@compiled
def claim_people(w: World, pool: int, claim: int) -> None:
    """Ask for one of them."""
    p = pool_at(w.pools, pool)
    account_people(w, p)
    queue_claim(w, p, claim)
    call(w, pool)


@compiled
def release_people(w: World, pool: int) -> None:
    """One of them is free again."""
    p = pool_at(w.pools, pool)
    account_people(w, p)
    p.free += 1
    call(w, pool)


@inlined
def _who(w: World, claim: int) -> int:
    """Whose claim it is: those of machines come first in the array, then those of mounts and of sets."""
    return int(claim if claim < w.n_machines else claim - w.n_mounts)


@inlined
def give_out_people(w: World, p: Pool) -> None:
    """Send the free ones to the longest waiting."""
    if p.roster != NONE:
        _give_out_roster(w, p)
        return
    while p.free > 0 and p.n_claims > 0:
        account_people(w, p)
        claim = first_claim(w, p)
        p.free -= 1
        p.served += 1
        p.waited_min += w.now - claim_at(w.claims, claim).since_min
        make_ready(w, _who(w, claim))


@compiled
def _give_out_roster(w: World, p: Pool) -> None:
    """The same for people of whom not always as many attend, or who attend machines."""
    r = roster_at(w.rosters, p.roster)
    if r.first_lingering != NONE:
        _stay_or_go(w, p, r)
    while p.free > 0 and p.n_claims > 0:
        account_people(w, p)
        claim = first_claim(w, p)
        p.free -= 1
        if job_at(w.jobs_at_hand, claim).is_again == 0:
            p.served += 1
        _give(w, p, r, claim)


@compiled
def _give(w: World, p: Pool, r: Roster, claim: int) -> None:
    j = job_at(w.jobs_at_hand, claim)
    p.waited_min += w.now - j.from_min
    if is_staffed(r):
        count_nobody(w, r, claim)
    j.given_min = w.now
    j.is_waiting = 0
    make_ready(w, _who(w, claim))


@compiled
def _stay_or_go(w: World, p: Pool, r: Roster) -> None:
    """Those who are done at a machine do what it wants next, if it wants them at once; else they walk on."""
    machine = r.first_lingering
    r.first_lingering = NONE
    while machine != NONE:
        j, m = job_at(w.jobs_at_hand, machine), machine_at(w.machines, machine)
        walk_min = attending_at(w.attending, m.operation).walk_min
        if j.is_waiting and m.here == r.pool and not (r.hands_over and p.free < 0):
            account_people(w, p)
            take_out_claim(w, p, machine)
            j.since_min = j.lingers_since_min
            _give(w, p, r, machine)
        elif walk_min > 0.0:
            enter_in_agenda(w, w.now + walk_min, first_of_rosters(w) + 2 * p.roster + 1)
        else:
            account_people(w, p)
            p.free += 1
        machine = j.next_lingering
