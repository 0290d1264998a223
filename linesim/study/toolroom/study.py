"""The tool room's plan of one policy: replications of the coming weeks."""

from __future__ import annotations

import math
import time
from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np

from linesim.errors import StudyError
from linesim.fast.choice import choose_engine
from linesim.ledger import Ledger
from linesim.plan.build import make_plan
from linesim.plan.times import mean_minutes
from linesim.study.crew.own_rules import load_rules
from linesim.study.interim import Interim, Study
from linesim.study.options import USUAL, StudyOptions
from linesim.study.toolroom.answer import ToolRoomPlan
from linesim.study.toolroom.orders import Lead
from linesim.study.toolroom.weeks import Week, weeks_of
from linesim.works import Works

__all__ = ["MOST_WEEKS", "ToolRoomStudy", "runs_asked"]

MOST_WEEKS = 104
"""Weeks that are run at the most, those beyond the plan that lead times take included."""

_USUAL_COUNT = 40
_WORDS = "running the coming weeks"


def runs_asked(works: Works, weeks: int) -> int:
    """How many whole runs of the scenario a plan of the usual number of runs comes to, for a page's bound.

    Parameters
    ----------
    works : Works
        The checked scenario.
    weeks : int
        Of the plan.
    """
    beyond = max((math.ceil(lead.weeks) for lead in _leads(works)), default=0)
    run_min = works.run.length + works.run.warm_up
    warm_up = works.run.warm_up / run_min
    return math.ceil(_USUAL_COUNT * ((weeks + beyond) * works.calendar.minutes_per()["week"] / run_min + warm_up))


@dataclass(frozen=True, eq=False)
class ToolRoomStudy(Study[ToolRoomPlan]):
    """What the coming weeks ask of the tool room under one policy.

    The plan begins after the scenario's warm-up, or with the works as the scenario says that it stands now.

    Attributes
    ----------
    works : Works
        The checked scenario.
    policy : str or None
        Name of one of its policies; today's practice unless given.
    weeks : int
        Weeks of the plan, 1 or more; so many more are run as the longest lead time takes, 104 in all at the most.
    options : StudyOptions
        How it is carried out; 40 replications unless the options say otherwise.
    """

    kind = "toolroom"
    is_stored = False
    works: Works
    policy: str | None = None
    weeks: int = 8
    options: StudyOptions = USUAL

    def steps(self) -> Iterator[Interim[ToolRoomPlan]]:
        """Carry it out, one replication after another.

        Raises
        ------
        ScenarioError, StudyError, RunError
            As for every study; or more weeks are asked for than can be run.
        """
        began_s, works, options = time.monotonic(), self.works, self.options
        chosen, count = works.chosen_policy(self.policy), options.count_for(_USUAL_COUNT)
        seed, leads = options.seed_for(works, count), _leads(works)
        beyond = max((math.ceil(lead.weeks) for lead in leads), default=0)
        _check_weeks(self.weeks, beyond)
        for file in options.rules:
            load_rules(file)
        plan = make_plan(works, chosen)
        ledger, engine = Ledger(works, plan), choose_engine(plan, options.engine).engine
        span = self.weeks + beyond, works.calendar.minutes_per()["week"]
        runs: list[list[Week]] = []
        for replication in range(count):
            yield Interim(replication, count, time.monotonic() - began_s, None, _WORDS)
            runs.append(list(weeks_of(plan, ledger, (seed, replication), span, engine)))
        sums = {name: np.array([[getattr(week, name) for week in run] for run in runs]) for name in Week._fields}
        answer = ToolRoomPlan(works, chosen, self.weeks, seed, options.confidence, leads, sums)
        yield Interim(count, count, time.monotonic() - began_s, answer, _WORDS, is_final=True)


def _leads(works: Works) -> tuple[Lead, ...]:
    """Lead time, price and what is on order of every kind of set."""
    week_min = works.calendar.minutes_per()["week"]
    now = {} if works.now is None else works.now.sets
    return tuple(
        Lead(name, mean_minutes(cutter.lead_time) / week_min, now[name].ordered if name in now else 0, cutter.price)
        for name, cutter in works.cutters.items()
    )


def _check_weeks(weeks: int, beyond: int) -> None:
    """See to it that so many weeks can be run."""
    if weeks < 1:
        raise StudyError(f"a plan of {weeks} weeks was asked for; at least 1 was expected")
    if weeks + beyond > MOST_WEEKS:
        longest = f", and the longest lead time takes {beyond} more" if beyond else ""
        raise StudyError(
            f"a plan of {weeks} weeks was asked for{longest}; {MOST_WEEKS} weeks in all at the most were expected"
        )
