"""Jobs of people at machines and benches: somebody comes, works for some minutes, and goes."""

from __future__ import annotations

from linesim.fast import codes, steps
from linesim.fast.agenda import enter_in_agenda
from linesim.fast.common import call, enter, queue_claim_since, wait
from linesim.fast.compiled import compiled
from linesim.fast.drawers import attending_at, job_at, machine_at, pool_at, roster_at
from linesim.fast.people import claim_people, release_people
from linesim.fast.people_state import Job, Roster
from linesim.fast.shifts import absent_min, account_people, is_staffed
from linesim.fast.state import Machine, Pool, World
from linesim.plan.tables import NONE


@compiled
def call_people(w: World, m: Machine, pool: int, waits: int, then: int) -> int:
    """Call one of a pool, and go on at a step when he is there; at once where nobody is needed.

    What the machine does until then is ``waits``; ``NONE`` for a bench and where it does so anyway.
    """
    if pool == NONE:
        return then
    if waits != NONE:
        enter(w, m, waits)
    m.here = pool
    m.step = then
    p = pool_at(w.pools, pool)
    if p.roster == NONE:
        claim_people(w, pool, m.index)
    else:
        j = job_at(w.jobs_at_hand, m.index)
        j.since_min, j.is_again, j.waits = w.now, 0, waits
        ask(w, p, m.index)
    return steps.BLOCKED


@compiled
def ask(w: World, p: Pool, claim: int) -> None:
    """Stand among those who wait for people with a roster, by when this job was asked for first."""
    j, r = job_at(w.jobs_at_hand, claim), roster_at(w.rosters, p.roster)
    account_people(w, p)
    j.from_min, j.is_waiting = w.now, 1
    if is_staffed(r):
        j.absent_min = absent_min(w, r)
    queue_claim_since(w, p, claim, j.since_min)
    call(w, r.pool)


@compiled
def work(w: World, m: Machine, minutes: float, then: int) -> int:
    """Let the work pass; it is left and taken up again where those who attend go and hand over."""
    if m.here == NONE or pool_at(w.pools, m.here).roster == NONE:
        return wait(w, m, minutes, then)
    j = job_at(w.jobs_at_hand, m.index)
    j.left_min, j.then, j.works = minutes, then, m.state
    return _go_on_working(w, m)


@compiled
def _go_on_working(w: World, m: Machine) -> int:
    j, r = job_at(w.jobs_at_hand, m.index), roster_at(w.rosters, pool_at(w.pools, m.here).roster)
    if is_left_now(w, j, r):
        return _hand_over(w, m)
    if w.now + j.left_min <= r.next_drop_min:
        return wait(w, m, j.left_min, j.then)
    m.step = steps.HAND_OVER
    leave_at_bell(w, j, r, m.index)
    return steps.BLOCKED


@compiled
def is_left_now(w: World, j: Job, r: Roster) -> bool:
    """Whether who has a job in hand leaves it at this very instant."""
    if r.last_drop_min == w.now and w.now > j.given_min:
        return True
    return bool(r.next_drop_min <= w.now < w.now + j.left_min)


@compiled
def leave_at_bell(w: World, j: Job, r: Roster, who: int) -> None:
    """The job goes on until fewer attend."""
    j.left_min = max(j.left_min - (r.next_drop_min - w.now), 0.0)
    enter_in_agenda(w, r.next_drop_min, who)


@compiled
def _hand_over(w: World, m: Machine) -> int:
    """The job is left, and whoever comes takes it up."""
    j, p = job_at(w.jobs_at_hand, m.index), pool_at(w.pools, m.here)
    if j.waits != NONE:
        enter(w, m, j.waits)
    release_people(w, m.here)
    j.is_again = 1
    ask(w, p, m.index)
    m.step = steps.TAKE_UP
    return steps.BLOCKED


@compiled
def _take_up(w: World, m: Machine) -> int:
    """Somebody has come and goes on with the job."""
    j = job_at(w.jobs_at_hand, m.index)
    if j.waits != NONE:
        enter(w, m, j.works)
    return _go_on_working(w, m)


@compiled
def hand_over_or_take_up(w: World, m: Machine, step: int) -> int:
    """Do one of the two. Returns the step after."""
    return _hand_over(w, m) if step == steps.HAND_OVER else _take_up(w, m)


@compiled
def let_go(w: World, m: Machine) -> None:
    """Who was at the machine, if anybody, is free again."""
    if m.here != NONE:
        pool = m.here
        m.here = NONE
        release_people(w, pool)


@compiled
def leave(w: World, m: Machine) -> None:
    """Who attends the machine stays if it wants him again at once, else he walks on and is free then."""
    r = roster_at(w.rosters, pool_at(w.pools, m.here).roster)
    j = job_at(w.jobs_at_hand, m.index)
    j.lingers_since_min = j.since_min
    before, after = NONE, r.first_lingering
    while after != NONE and machine_at(w.machines, after).rank < m.rank:
        before, after = after, job_at(w.jobs_at_hand, after).next_lingering
    j.next_lingering = after
    if before == NONE:
        r.first_lingering = m.index
    else:
        job_at(w.jobs_at_hand, before).next_lingering = m.index
    call(w, m.here)
    m.here = NONE


@compiled
def call_operator(w: World, m: Machine, then: int) -> int:
    """Call somebody of those who attend the machine."""
    by = attending_at(w.attending, m.operation).by
    return call_people(w, m, by, codes.STATE_WAITING_FOR_OPERATOR, then)
