"""The shifts of a pool of people: how many attend when, and what is counted shift by shift."""

from __future__ import annotations

import math
from collections.abc import Generator
from typing import Any

from simpy.events import Event

from linesim.floor.moments import at_moment
from linesim.floor.people_claim import PeopleClaim, Pool
from linesim.plan.plan import Plan
from linesim.plan.tables import NONE
from linesim.plan.tally import Tally

__all__ = ["Shifts", "shifts_of"]


def shifts_of(plan: Plan, pool: int, nobody_min: dict[int, float]) -> Shifts | None:
    """The shifts of a pool of people; None where always as many attend."""
    return Shifts(plan, pool, nobody_min) if plan.pools.first_step[pool] < plan.pools.end_step[pool] else None


class Shifts:
    """Steps through the weeks: from when on how many attend.

    Parameters
    ----------
    plan : Plan
        What is run.
    pool : int
        Number of the pool.
    nobody_min : dict of int to float
        By machine, minutes that it waited while nobody attended, over all pools.

    Attributes
    ----------
    hands_over : bool
        Whether a job in hand is left when fewer attend.
    next_drop_min, last_drop_min : float
        When fewer will attend the next time, and when that was last; infinite, and minus infinity, for never and for a
        pool that finishes jobs in hand.
    attended_min, beyond_min, busy_min, queue_min : list of float
        By shift of the day, as in the tally.
    """

    def __init__(self, plan: Plan, pool: int, nobody_min: dict[int, float]) -> None:
        first, end, table = int(plan.pools.first_step[pool]), int(plan.pools.end_step[pool]), plan.staffing
        columns = [column[first:end].tolist() for column in table]
        self.steps: list[Any] = [type(table)._make(row) for row in zip(*columns, strict=True)]
        self.week_min = plan.week_min
        self.hands_over = bool(plan.pools.hands_over[pool])
        self.next_drop_min, self.last_drop_min = math.inf, -math.inf
        self._shifts = plan.shifts_per_day
        self._shift = 0
        self._changed_min = 0.0
        """When the number of those who attend changed last."""
        self._absent_min = 0.0
        self.nobody_min = nobody_min
        self._forget(0.0)

    def _forget(self, now: float) -> None:
        shifts = range(self._shifts)
        self.attended_min, self.beyond_min, self.busy_min, self.queue_min = ([0.0 for _ in shifts] for _ in range(4))
        self.nobody_min.clear()
        self._counted_min, self._marks = now, (0.0, 0.0, 0.0)

    # --- the steps ------------------------------------------------------------------------------------------------

    def begin(self, people: Pool) -> int:
        """The run begins; how many attend at first."""
        people.env.process(self._run(people))
        self._enter(0, self.steps[0])
        return int(self.steps[0].people)

    def _run(self, people: Pool) -> Generator[Event, Any, None]:
        """Step after step, week after week, for ever."""
        week, number = 0, 0
        while True:
            number += 1
            if number == len(self.steps):
                week, number = week + 1, 0
            step = self.steps[number]
            yield at_moment(people.env, week * self.week_min + step.minute)
            self._close(people)
            if people.count == 0:
                self._absent_min += people.env.now - self._changed_min
            if step.people < people.count and self.hands_over:
                self.last_drop_min = people.env.now
            self._changed_min = people.env.now
            self._enter(week, step)
            people.attend(step.people)

    def _enter(self, week: int, step: Any) -> None:
        self._shift = step.shift
        if self.hands_over:
            self.next_drop_min = (week + step.drop_week) * self.week_min + step.drop_min

    # --- counting -------------------------------------------------------------------------------------------------

    def absent_min(self, people: Pool) -> float:
        """Minutes in which nobody attended, from the start of the run up to now."""
        return self._absent_min + (people.env.now - self._changed_min if people.count == 0 else 0.0)

    def count_nobody(self, people: Pool, claim: PeopleClaim) -> None:
        """Somebody waited for people: count for how long nobody of them attended."""
        if claim.machine != NONE:
            waited = self.absent_min(people) - claim.absent_min
            self.nobody_min[claim.machine] = self.nobody_min.get(claim.machine, 0.0) + waited

    def start_counting(self, people: Pool) -> None:
        """Forget what was counted before now."""
        self._forget(people.env.now)
        for claim in people.waiting:
            claim.absent_min = self.absent_min(people)

    def stop_counting(self, people: Pool) -> None:
        """Count up to now."""
        self._close(people)
        for claim in people.waiting:
            self.count_nobody(people, claim)

    def collect(self, tally: Tally, pool: int) -> None:
        """Copy into the tally what was counted."""
        tally.shift_attended_min[pool], tally.shift_beyond_min[pool] = self.attended_min, self.beyond_min
        tally.shift_busy_min[pool], tally.shift_queue_min[pool] = self.busy_min, self.queue_min
        for machine, minutes in self.nobody_min.items():
            tally.nobody_min[machine] = minutes

    def _close(self, people: Pool) -> None:
        """Enter what was counted since the last step under its shift."""
        people.account()
        now, shift, marks = people.env.now, self._shift, self._marks
        self.attended_min[shift] += people.count * (now - self._counted_min)
        self.beyond_min[shift] += people.beyond_min - marks[0]
        self.busy_min[shift] += people.busy_min - marks[1]
        self.queue_min[shift] += people.queue_min - marks[2]
        self._counted_min, self._marks = now, (people.beyond_min, people.busy_min, people.queue_min)
