"""Pools of people: setters who change cutters, fitters who repair machines, operators; and the tool grinders."""

from __future__ import annotations

from bisect import insort
from collections.abc import Callable, Sequence

import simpy

from linesim.floor.foreman import Foreman, Turn, queue
from linesim.floor.people_claim import PeopleClaim
from linesim.floor.shifts import Shifts, shifts_of
from linesim.plan.plan import Plan
from linesim.plan.tables import NONE
from linesim.plan.tally import Tally

__all__ = ["People", "nothing_comes", "pools_of"]


class People:
    """So many people (or grinders), each of whom does one job at a time.

    Parameters
    ----------
    foreman : Foreman
        Gives them out.
    count : int
        How many there are; 0 or more.
    shifts : Shifts, optional
        How many attend when; always as many unless given.
    """

    def __init__(self, env: simpy.Environment, foreman: Foreman, count: int, shifts: Shifts | None = None) -> None:
        self.env = env
        self.foreman = foreman
        self.number = foreman.take_on(self, Turn.PEOPLE)
        self.shifts = shifts
        self.count = count if shifts is None else shifts.begin(self)
        """How many attend now."""
        self.free = self.count
        """How many of them are free; less than 0 while some work on with jobs in hand beside those who attend."""
        self.waiting: list[PeopleClaim] = []
        self.busy_min = 0.0
        self.beyond_min = 0.0
        self.jobs = 0
        self.waited_min = 0.0
        self.queue_min = 0.0
        self.chooser: Callable[[People], int | None] | None = None
        """Says which of those waiting is served next, by its place; None: nobody before that has been settled."""
        self._since = 0.0
        self._lingering: list[tuple[tuple[int, ...], float, float]] = []

    # --- claims ---------------------------------------------------------------------------------------------------

    def claim(self, rank: tuple[int, ...], stake: object = None, machine: int = NONE) -> PeopleClaim:
        """Ask for one of them; wait for the claim to come true, and :meth:`release` afterwards."""
        return self._queue(PeopleClaim(self.env, rank, stake, machine))

    def claim_again(self, left: PeopleClaim) -> PeopleClaim:
        """Leave a job in hand, and ask for somebody who takes it up, in the turn in which it was first asked for."""
        self.release()
        claim = PeopleClaim(self.env, left.rank, left.stake, left.machine)
        claim.since_min, claim.is_again = left.since_min, True
        return self._queue(claim)

    def _queue(self, claim: PeopleClaim) -> PeopleClaim:
        self.account()
        if self.shifts is not None:
            claim.absent_min = self.shifts.absent_min(self)
        queue(self.waiting, claim)
        self.foreman.call(self.number)
        return claim

    def release(self) -> None:
        """One of them is free again."""
        self.account()
        self.free += 1
        self.foreman.call(self.number)

    def linger(self, claim: PeopleClaim, walk_min: float) -> None:
        """One of them is done at a machine: he stays if it wants him again at this instant, else he walks on."""
        insort(self._lingering, (claim.rank, claim.since_min, walk_min))
        self.foreman.call(self.number)

    # --- giving out -----------------------------------------------------------------------------------------------

    def give_out(self) -> bool:
        """Send the free ones to the longest waiting."""
        given = False
        if self._lingering:
            given = self._stay_or_go()
        while self.free > 0 and self.waiting:
            at = 0 if self.chooser is None else self.chooser(self)
            if at is None:
                break
            self.account()
            claim = self.waiting.pop(at)
            self.free -= 1
            self.jobs += not claim.is_again
            self._give(claim)
            given = True
        return given

    def _give(self, claim: PeopleClaim) -> None:
        self.waited_min += self.env.now - claim.from_min
        if self.shifts is not None:
            self.shifts.count_nobody(self, claim)
        claim.given_min = self.env.now
        claim.succeed(claim.stake)

    def _stay_or_go(self) -> bool:
        """Those who are done at a machine do what it wants next, if it wants them at once; else they walk on."""
        lingering, self._lingering = self._lingering, []
        stays = False
        for rank, since_min, walk_min in lingering:
            claim = next((claim for claim in self.waiting if claim.rank == rank), None)
            leaves = self.shifts is not None and self.shifts.hands_over and self.free < 0
            if claim is not None and not leaves:
                self.account()
                self.waiting.remove(claim)
                claim.since_min = since_min
                self._give(claim)
                stays = True
            elif walk_min > 0.0:
                walks = self.env.timeout(walk_min)
                walks.callbacks.append(self._is_back)
            else:
                self.account()
                self.free += 1
        return stays

    def _is_back(self, _: object) -> None:
        self.release()

    def attend(self, count: int) -> None:
        """From now on so many attend."""
        self.account()
        self.free += count - self.count
        self.count = count
        self.foreman.call(self.number)

    # --- counting -------------------------------------------------------------------------------------------------

    def start_counting(self) -> None:
        """Forget what was counted before now."""
        self._since = self.env.now
        self.busy_min = self.beyond_min = self.waited_min = self.queue_min = 0.0
        self.jobs = 0
        if self.shifts is not None:
            self.shifts.start_counting(self)

    def stop_counting(self) -> None:
        """Count up to now."""
        self.account()
        if self.shifts is not None:
            self.shifts.stop_counting(self)

    def collect(self, tally: Tally, pool: int) -> None:
        """Copy into the tally what was counted."""
        tally.busy_min[pool], tally.jobs[pool] = self.busy_min, self.jobs
        tally.waited_min[pool], tally.queue_min[pool] = self.waited_min, self.queue_min
        if self.shifts is not None:
            self.shifts.collect(tally, pool)

    def account(self) -> None:
        """Count who was busy and who waited, up to now."""
        now = self.env.now
        if now > self._since:
            passed = now - self._since
            self.busy_min += (self.count - self.free) * passed
            self.queue_min += len(self.waiting) * passed
            if self.free < 0:
                self.beyond_min += -self.free * passed
            self._since = now


def pools_of(env: simpy.Environment, foreman: Foreman, plan: Plan) -> list[People]:
    """The pools of people of a plan, tool grinders left aside."""
    nobody_min: dict[int, float] = {}
    return [
        People(env, foreman, count, shifts_of(plan, pool, nobody_min))
        for pool, count in enumerate(plan.pools.people.tolist())
    ]


def nothing_comes(env: simpy.Environment, pools: Sequence[People]) -> bool:
    """Whether nothing is due any more but shifts of people for whom nobody waits."""
    if any(people.waiting for people in pools if people.shifts is not None):
        return False
    return len(env._queue) == sum(people.shifts is not None for people in pools)  # noqa: SLF001
