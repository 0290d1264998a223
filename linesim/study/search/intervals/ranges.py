"""How far each interval, and each lever, may be moved alone before it costs more than a tolerance: on demand."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace

import numpy as np

from linesim.study.interim import Ending, Study
from linesim.study.options import USUAL, StudyOptions
from linesim.study.search.common.budget import LEAST_RUNS, USUAL_PLAN, SearchPlan
from linesim.study.search.common.deadline import TimeUp
from linesim.study.search.common.goal import Goal
from linesim.study.search.common.opening import opened
from linesim.study.search.common.set_at import Setting
from linesim.study.search.common.trials import Trial
from linesim.study.search.common.unsure import as_unsure
from linesim.study.search.intervals.best import BestIntervals, Try
from linesim.study.search.intervals.flat_range import flat_range, next_tries, next_values
from linesim.study.search.intervals.walk import Answer, Walk
from linesim.study.statistics.intervals import holm
from linesim.works import Works

__all__ = ["RangeStudy", "Ranges", "runs_for"]

_TRIES_EACH = 4
"""Values tried of each interval and lever, about."""


def runs_for(best: BestIntervals, plan: SearchPlan) -> int:
    """Runs that it takes to find the ranges of what a search has come to, about."""
    return plan.replications * (1 + _TRIES_EACH * (len(best.setting.parts) + len(best.setting.values)))


@dataclass(frozen=True, eq=False)
class RangeStudy(Study[BestIntervals]):
    """How far each interval of a setting may be moved, everything else left as it is.

    Attributes
    ----------
    works : Works
        The checked scenario.
    goal : Goal
        What was sought.
    base : str
        The policy from which the search set out.
    setting : Setting
        The intervals and levers that it has come to.
    against : str
        The policy against which the search's verdict was; the one from which it set out unless given.
    plan : SearchPlan
        As for the search.
    options : StudyOptions
        How it is carried out; ``replications``, where given, takes the place of the plan's.
    """

    kind = "ranges"
    works: Works
    goal: Goal
    base: str
    setting: Setting
    against: str = ""
    plan: SearchPlan = USUAL_PLAN
    options: StudyOptions = USUAL

    def steps(self) -> Iterator[Answer]:
        """Carry it out, with a word after every run.

        Raises
        ------
        ScenarioError, StudyError, RunError
            As for every study; also if no set of the works ever dulls or breaks.
        """
        count, plan = self.options.replications, self.plan
        works = as_unsure(self.works) if plan.over_lives else self.works
        trials, _ = opened(works, self.base, self.options)
        plan = plan if count is None else replace(plan, replications=count)
        walk = Walk(works, self.goal, [self.base], plan, trials, self.options.confidence)
        walk.answer = walk.answer.but(against=self.against or self.base)
        walk.know_ways()
        walk.set_out_from(self.base, self.setting)
        walk.plan = replace(plan, runs=max(runs_for(walk.answer, plan), LEAST_RUNS))
        yield from Ranges(walk).steps()
        yield walk.interim(is_final=True)


class Ranges:
    """Every interval and lever of the best of a search, each alone, up and down.

    Parameters
    ----------
    walk : Walk
        With a best setting; its answer gets the ranges.
    """

    def __init__(self, walk: Walk) -> None:
        self.walk = walk
        self.numbers = range(walk.plan.replications)

    def steps(self) -> Iterator[Answer]:
        """Try values up and down until each flat range is known; ended early, with those known by then."""
        walk = self.walk
        walk.words = "how far each interval may be moved"
        try:
            yield from walk.progress_of(walk.trials.run([self._best], self.numbers))
            while wanted := self._wanted():
                yield from walk.progress_of(walk.trials.run(list(wanted.values()), self.numbers))
                tested = [self._test(key, amount, trial) for (key, amount), trial in wanted.items()]
                walk.answer = walk.answer.but(tested=(*walk.answer.tested, *tested))
                self._put_ranges()
        except (TimeUp, Ending):
            return
        if self._is_better_beyond_doubt():
            walk.answer = walk.answer.but(is_settled=False)

    @property
    def _best(self) -> Trial:
        assert self.walk.best is not None
        return self.walk.best

    def _wanted(self) -> dict[tuple[str, float], Trial]:
        """What to try next, each alone; nothing once enough is known."""
        walk, setting, allowed = self.walk, self.walk.answer.setting, self._allowed
        wanted: dict[tuple[str, float], Trial] = {
            (set_at.key, parts): walk.trial_of(setting.but(at, parts))
            for at, set_at in enumerate(walk.sets_at)
            if not setting.way(at)
            for parts in next_tries(set_at, setting.parts[at], self._tests(set_at.key), allowed, walk.plan.by)
        }
        return wanted | {
            (lever.name, value): walk.trial_of(setting.but_value(at, value))
            for at, lever in enumerate(walk.levers)
            if not lever.is_named
            for value in next_values(lever, setting.values[at], self._tests(lever.name), allowed)
        }

    def _put_ranges(self) -> None:
        """The ranges as far as they are known."""
        walk, setting, allowed = self.walk, self.walk.answer.setting, self._allowed
        flat = {
            set_at.key: flat_range(parts, self._tests(set_at.key), allowed)
            for at, (set_at, parts) in enumerate(zip(walk.sets_at, setting.parts, strict=True))
            if not setting.way(at)
        }
        of_levers = {
            lever.name: flat_range(value, self._tests(lever.name), allowed)
            for lever, value in zip(walk.levers, setting.values, strict=True)
            if not lever.is_named
        }
        walk.answer = walk.answer.but(flat=flat, flat_levers=of_levers)

    def _tests(self, key: str) -> list[Try]:
        """What was tried of one set or lever."""
        return [one for one in self.walk.answer.tested if one.key == key]

    def _test(self, key: str, parts: float, trial: Trial) -> Try:
        """One interval or value alone against the best."""
        walk = self.walk
        means = [
            (walk.trials.mean(trial.key, name, self.numbers, walk.judge.confidence).mean, limit)
            for name, limit in walk.goal.caps
        ]
        worse = walk.judge.worse_by(trial.key, self._best.key, self.numbers)
        return Try(key, parts, worse, any(mean > limit for mean, limit in means))

    @property
    def _allowed(self) -> float:
        """Tolerance in the unit of the goal."""
        level = self.walk.trials.values(self._best.key, self.walk.goal.measure.name, self.numbers)
        return self.walk.plan.tolerance * abs(float(np.nanmean(level)))

    def _is_better_beyond_doubt(self) -> bool:
        """Whether any value tried alone is better, all questions counted (Holm)."""
        tested = self.walk.answer.tested
        raised = holm([one.worse.p_value for one in tested])
        return any(
            one.worse.mean < 0.0 and p < 1.0 - self.walk.judge.confidence and not one.breaks_cap
            for one, p in zip(tested, raised, strict=True)
        )
