"""The question of the coming shift."""

from __future__ import annotations

import math
import time
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Any

from linesim.errors import StudyError
from linesim.plan.build import make_plan
from linesim.plan.plan import Plan
from linesim.study.coming.clock import Clock, clock_for
from linesim.study.coming.figures import Foretold
from linesim.study.coming.followed import Followed, Following
from linesim.study.coming.forecast import Forecast
from linesim.study.coming.leave import Pair, Pairs, mounts_named
from linesim.study.coming.reading import rows_from_cells
from linesim.study.coming.standing import StandingRow, now_of, standing_rows
from linesim.study.coming.surviving import survivors
from linesim.study.interim import Interim, Study
from linesim.study.options import USUAL, StudyOptions
from linesim.works import Works, changed

__all__ = ["MOST_SHIFTS", "USUAL_RUNS", "ForecastStudy", "runs_asked", "works_standing"]

USUAL_RUNS = 399
LEAST_RUNS = 39
"""Fewer runs have no band of 95 %."""
MOST_SHIFTS = 30


def works_standing(works: Works, rows: Sequence[StandingRow], shifts: int, clock: Clock) -> Works:
    """The works as it stands now, to be run to the end of so many shifts.

    Raises
    ------
    ScenarioError
        It cannot stand like that.
    """
    run = {"warm_up": 0, "length": shifts * works.calendar.shift - clock.within_min}
    changes = {"now": {**now_of(works, rows), "at": clock.moment.model_dump()}, "run": run}
    return changed(works, changes, "how the line stands")


def runs_asked(works: Works, shifts: int, is_left_in: bool) -> int:
    """How many whole runs of the scenario a forecast of the usual number of runs comes to, for a page's bound."""
    shift_min, run_min = works.calendar.shift, works.run.length + works.run.warm_up
    spans = shifts + (2 * (shifts + 1) if is_left_in else 0)
    return math.ceil(USUAL_RUNS * spans * shift_min / run_min)


@dataclass(frozen=True, eq=False)
class ForecastStudy(Study[Forecast]):
    """The coming shifts, from how the line stands now.

    Attributes
    ----------
    works : Works
        The checked scenario.
    policy : str or None
        Name of one of its policies; today's practice unless given.
    rows : sequence of StandingRow, or of (int, mapping), or None
        How the line stands; rows of a table, or cells as a page has them, each with its number. As the scenario's
        ``now`` says unless given, and as a fresh line where that is silent too; see
        `linesim.study.coming.standing.unsaid`.
    shifts : int
        How many are foretold; the first one is the one that runs, however much is left of it.
    leave : str or None
        A set of which it is asked what leaving it in until the end brings; see
        `linesim.study.coming.leave.mounts_named`.
    first : str
        When the first shift of a day begins.
    day, shift, at : str, int, str, or None
        The day, the shift of that day and the time of day with which the forecast begins; see
        `linesim.study.coming.clock.clock_for`.
    options : StudyOptions
        399 runs unless the options say otherwise, 39 at least; the confidence is that of each band.
    """

    kind = "shift"
    is_stored = False
    works: Works
    policy: str | None = None
    rows: Sequence[Any] | None = None
    shifts: int = 1
    leave: str | None = None
    first: str = "06:00"
    day: str | None = None
    shift: int | None = None
    at: str | None = None
    options: StudyOptions = USUAL

    def steps(self) -> Iterator[Interim[Forecast]]:
        """Run again and again from the state; the answer comes at the end."""
        began_s, options = time.monotonic(), self.options
        count = options.count_for(USUAL_RUNS, LEAST_RUNS)
        seed = options.seed_for(self.works)
        works, plan, rows, clock = self._laid_out()
        end_min = self.shifts * plan.shift_min - clock.within_min
        pairs = None if self.leave is None else Pairs(works, plan, mounts_named(plan, self.leave), end_min)
        total = count if pairs is None else 3 * count
        yield Interim(0, total, time.monotonic() - began_s, None, "which edges have lasted so long")
        survived = survivors(plan, seed, count)
        runs: list[Followed] = []
        for at in survived.replications:
            runs.append(_run(plan, seed, at, end_min))
            yield Interim(len(runs), total, time.monotonic() - began_s, None, "running the shift")
        both: list[Pair] = []
        for at in survived.replications if pairs is not None else ():
            assert pairs is not None
            both.append(pairs.run(seed, at))
            done = count + 2 * len(both)
            yield Interim(done, total, time.monotonic() - began_s, None, "leaving it in")
        left_in = None if pairs is None else pairs.answer(str(self.leave), both, options.confidence)
        of = Foretold(plan, clock, self.shifts, options.confidence, runs)
        answer = Forecast(works, plan.policy, seed, rows, of, survived, left_in)
        yield Interim(total, total, time.monotonic() - began_s, answer, "foretold", is_final=True)

    def _laid_out(self) -> tuple[Works, Plan, list[StandingRow], Clock]:
        """Everything that is needed before the first run."""
        if not 1 <= self.shifts <= MOST_SHIFTS:
            raise StudyError(f"{self.shifts} shifts cannot be foretold; 1 to {MOST_SHIFTS} were expected")
        clock = clock_for(self.works, self.first, self.day, self.shift, self.at)
        rows = self._rows()
        works = works_standing(self.works, rows, self.shifts, clock)
        plan = make_plan(works, works.chosen_policy(self.policy))
        if plan.own_rules:
            raise StudyError(
                f'policy "{plan.policy}" has a rule of your own in Python, which the engine of a forecast cannot ask; '
                "name another policy"
            )
        return works, plan, rows, clock

    def _rows(self) -> list[StandingRow]:
        if self.rows is None:
            return standing_rows(self.works, self.works.chosen_policy(self.policy))
        given = list(self.rows)
        if all(isinstance(row, StandingRow) for row in given):
            return given
        return rows_from_cells(given, "the table", self.works)


def _run(plan: Plan, seed: int, replication: int, end_min: float) -> Followed:
    floor = Following(plan, seed, replication)
    floor.run_until(end_min)
    return floor.followed()
