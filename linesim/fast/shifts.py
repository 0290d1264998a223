"""The shifts of pools of people: how many attend when, and what is counted shift by shift."""

from __future__ import annotations

import math

from linesim.fast.agenda import WHO, enter_in_agenda
from linesim.fast.common import add, call
from linesim.fast.compiled import compiled, inlined
from linesim.fast.drawers import claim_at, due_at, job_at, pool_at, roster_at, staffing_at
from linesim.fast.people_state import Roster
from linesim.fast.state import Pool, World
from linesim.plan.tables import NONE

# --- counting ------------------------------------------------------------------------------------------------------


@inlined
def account_people(w: World, p: Pool) -> None:
    """Count who was busy and who waited, up to now."""
    passed = w.now - p.since_min
    if passed > 0.0:
        p.level_min += (p.capacity - p.free) * passed
        p.queue_min += p.n_claims * passed
        if p.free < 0:
            roster_at(w.rosters, p.roster).beyond_min += -p.free * passed
        p.since_min = w.now


@inlined
def is_staffed(r: Roster) -> bool:
    """Whether not always as many attend."""
    return bool(r.first_step < r.end_step)


@compiled
def absent_min(w: World, r: Roster) -> float:
    """Minutes in which nobody attended, from the start of the run up to now."""
    return float(r.absent_min + (w.now - r.changed_min if pool_at(w.pools, r.pool).capacity == 0 else 0.0))


@compiled
def count_nobody(w: World, r: Roster, machine: int) -> None:
    """A machine waited for people: count for how long nobody of them attended."""
    if machine < w.n_machines - w.n_benches:
        add(w.nobody_min, machine, absent_min(w, r) - job_at(w.jobs_at_hand, machine).absent_min)


@compiled
def start_counting_shifts(w: World) -> None:
    """Forget what rosters have counted."""
    for number in range(w.n_rosters):
        r = roster_at(w.rosters, number)
        r.counted_min = w.now
        r.beyond_min = r.mark_beyond_min = r.mark_busy_min = r.mark_queue_min = 0.0
        claim = pool_at(w.pools, r.pool).first_claim
        while claim != NONE:
            job_at(w.jobs_at_hand, claim).absent_min = absent_min(w, r)
            claim = claim_at(w.claims, claim).next


@compiled
def stop_counting_shifts(w: World) -> None:
    """Count up to now."""
    for number in range(w.n_rosters):
        r = roster_at(w.rosters, number)
        if is_staffed(r):
            p = pool_at(w.pools, r.pool)
            _close(w, r, p)
            claim = p.first_claim
            while claim != NONE:
                count_nobody(w, r, claim)
                claim = claim_at(w.claims, claim).next


@compiled
def _close(w: World, r: Roster, p: Pool) -> None:
    """Enter what was counted since the last step under its shift."""
    account_people(w, p)
    at = (r.pool - w.grinders - 1) * w.shifts_per_day + staffing_at(w.staffing, r.step).shift
    add(w.shift_attended_min, at, p.capacity * (w.now - r.counted_min))
    add(w.shift_beyond_min, at, r.beyond_min - r.mark_beyond_min)
    add(w.shift_busy_min, at, p.level_min - r.mark_busy_min)
    add(w.shift_queue_min, at, p.queue_min - r.mark_queue_min)
    r.counted_min = w.now
    r.mark_beyond_min, r.mark_busy_min, r.mark_queue_min = r.beyond_min, p.level_min, p.queue_min


# --- the steps -----------------------------------------------------------------------------------------------------


@inlined
def first_of_rosters(w: World) -> int:
    """Who in the agenda is the first roster: each has one number for its next step, one for those who walk."""
    return int(w.n_machines + w.n_sets + w.n_lines)


@compiled
def begin_shifts(w: World) -> None:
    """The run begins: the next step of each roster is entered in the agenda."""
    for number in range(w.n_rosters):
        r = roster_at(w.rosters, number)
        r.step = r.first_step
        if is_staffed(r):
            _enter_step(w, r)
            _send_bell(w, r, number)


@inlined
def _enter_step(w: World, r: Roster) -> None:
    if r.hands_over:
        step = staffing_at(w.staffing, r.step)
        r.next_drop_min = (r.week + step.drop_week) * w.week_min + step.drop_min


@inlined
def _send_bell(w: World, r: Roster, number: int) -> None:
    week, step = r.week, r.step + 1
    if step == r.end_step:
        week, step = week + 1, r.first_step
    minute = week * w.week_min + staffing_at(w.staffing, step).minute
    enter_in_agenda(w, minute, first_of_rosters(w) + 2 * number)


@compiled
def ring(w: World, who: int) -> None:
    """A step of a roster: so many attend from now on; or one who walked from a machine is there."""
    number = who // 2
    r = roster_at(w.rosters, number)
    p = pool_at(w.pools, r.pool)
    if who % 2 == 1:
        account_people(w, p)
        p.free += 1
        call(w, r.pool)
        return
    _close(w, r, p)
    if p.capacity == 0:
        r.absent_min += w.now - r.changed_min
    r.step += 1
    if r.step == r.end_step:
        r.week, r.step = r.week + 1, r.first_step
    people = staffing_at(w.staffing, r.step).people
    if people < p.capacity and r.hands_over:
        r.last_drop_min = w.now
    r.changed_min = w.now
    _enter_step(w, r)
    p.free += people - p.capacity
    p.capacity = people
    call(w, r.pool)
    _send_bell(w, r, number)


# --- the end -------------------------------------------------------------------------------------------------------


@compiled
def is_over(w: World) -> bool:
    """Whether nothing is due any more but shifts that nobody waits for."""
    for number in range(w.n_rosters):
        r = roster_at(w.rosters, number)
        if is_staffed(r) and pool_at(w.pools, r.pool).n_claims > 0:
            return False
    first = first_of_rosters(w)
    for slot in range(w.first_slot, w.next_slot):
        due = due_at(w.agenda, slot)
        who = due.ticket & WHO
        if not math.isinf(due.minute) and (who < first or (who - first) % 2 == 1):
            return False
    return True
