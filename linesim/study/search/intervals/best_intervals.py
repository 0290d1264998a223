"""The question of the best intervals of all cutter sets together."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace

from linesim.study.interim import Study
from linesim.study.options import USUAL, StudyOptions
from linesim.study.search.common.budget import USUAL_PLAN, SearchPlan
from linesim.study.search.common.goal import Goal, goal_of
from linesim.study.search.common.opening import opened
from linesim.study.search.common.unsure import as_unsure
from linesim.study.search.intervals.best import BestIntervals
from linesim.study.search.intervals.search import IntervalSearch
from linesim.study.search.intervals.walk import Answer
from linesim.works import Works

__all__ = ["IntervalStudy"]


@dataclass(frozen=True, eq=False)
class IntervalStudy(Study[BestIntervals]):
    """The intervals of all sets together, with an answer that gets better all along.

    Attributes
    ----------
    works : Works
        The checked scenario.
    goal : Goal or None
        See `goal_of`, which is asked unless it is given.
    policy : str or None
        The policy to set out from and to be better than. Unless given the search sets out from the best one of the
        scenario, and its answer is set against today's practice.
    plan : SearchPlan
        How much to spend.
    options : StudyOptions
        How it is carried out; ``replications``, where given, takes the place of the plan's.
    """

    kind = "intervals"
    works: Works
    goal: Goal | None = None
    policy: str | None = None
    plan: SearchPlan = USUAL_PLAN
    options: StudyOptions = USUAL

    def steps(self) -> Iterator[Answer]:
        """Carry it out, with a word after every run.

        The last answer has the verdict in fresh replications, and flat ranges where the plan asks for them. An
        `Ending` thrown in at any moment leads to the verdict on the best so far, within its patience.

        Raises
        ------
        ScenarioError, StudyError, RunError
            As for every study; also if no set of the works ever dulls or breaks.
        """
        count, plan = self.options.replications, self.plan
        works = as_unsure(self.works) if plan.over_lives else self.works
        trials, names = opened(works, self.policy, self.options)
        plan = plan if count is None else replace(plan, replications=count)
        goal = self.goal or goal_of(works)
        yield from IntervalSearch(works, goal, names, plan, trials, self.options.confidence).steps()
