"""Where a search for the best intervals stands: the best so far, what was tried, and how proposals are judged."""

from __future__ import annotations

import math
from collections.abc import Generator, Iterator, Sequence
from dataclasses import replace
from typing import Any

import numpy as np

from linesim.errors import StudyError
from linesim.plan.tables import Floats
from linesim.study.interim import Interim
from linesim.study.search.common.budget import SearchPlan
from linesim.study.search.common.contest import Judge
from linesim.study.search.common.deadline import Deadline
from linesim.study.search.common.goal import Goal
from linesim.study.search.common.lever import Lever
from linesim.study.search.common.levers import levers_of, levers_under, with_levers
from linesim.study.search.common.set_at import Setting, all_sets_at, intervals_under, policy_of
from linesim.study.search.common.trials import Trial, Trials
from linesim.study.search.common.ways import way_under, with_ways
from linesim.study.search.intervals.best import BEST, BestIntervals
from linesim.study.search.intervals.switches import Switch, switched
from linesim.works import Works
from linesim.works.policies import Policy

__all__ = ["Answer", "Walk"]

Answer = Interim[BestIntervals]


class Walk:
    """One search on its way.

    Parameters
    ----------
    works, goal, names, plan, trials
        The scenario; what is sought; policies from the best of which to set out; what may be spent; where runs are
        gathered.
    confidence : float
        Of each interval.
    """

    def __init__(
        self, works: Works, goal: Goal, names: list[str], plan: SearchPlan, trials: Trials, confidence: float
    ) -> None:
        self.works, self.goal, self.names, self.plan, self.trials = works, goal, names, plan, trials
        self.sets_at = all_sets_at(works, plan.most_lives)
        if not self.sets_at:
            raise StudyError("no cutter set of this works dulls or breaks, so that no interval is better than another")
        self.levers: tuple[Lever, ...] = ()
        self.switches: tuple[Switch, ...] = ()
        self.best: Trial | None = None
        self.first: tuple[BestIntervals, Trial] | None = None
        self.words = ""
        self.deadline = Deadline(trials, plan.minutes, plan.fresh)
        self.judge = Judge(self.trials, self.goal, confidence)
        self.answer = BestIntervals(
            self.works, self.goal, self.names[0], self.sets_at, Setting(()), self.plan.by, self.plan.tolerance,
            confidence, self.trials.seed, against=self.names[0], over_lives=plan.over_lives,
        )  # fmt: skip

    def know_ways(self) -> None:
        """Find the rules other than a count that may be tried of each set, if other rules are looked for."""
        if self.plan.levers and not any(set_at.ways for set_at in self.sets_at):
            self.sets_at = with_ways(self.works, self.sets_at)
            self.answer = self.answer.but(sets_at=self.sets_at)

    def set_out_from(self, base: str, setting: Setting | None = None) -> None:
        """The policy to set out from, with the levers that it has; the best so far is its own setting or another."""
        self.levers = levers_of(self.works, base) if self.plan.levers else ()
        self.answer = self.answer.but(base=base, levers=self.levers)
        self.answer = self.answer.but(setting=self._given(base))
        if setting is not None:
            self._take(self.trial_of(setting))

    # --- small matters -------------------------------------------------------------------------------------------

    @property
    def _best(self) -> Trial:
        """The best so far."""
        assert self.best is not None
        return self.best

    @property
    def _best_setting(self) -> Setting:
        return self.answer.setting

    def _given(self, policy: str) -> Setting:
        """Intervals as a policy of the scenario has them, with average edges."""
        known = intervals_under(self.works, policy, self.sets_at)
        group_past = self.works.policies[policy].group_past
        values = levers_under(self.works, policy, self.levers)
        setting = self._snapped([known[set_at.key] for set_at in self.sets_at], group_past, values)
        ways = tuple(way_under(self.works.policies[policy], set_at) for set_at in self.sets_at)
        return replace(setting, ways=ways if any(ways) else ())

    def _snapped(self, parts: Any, group_past: float | None, values: Sequence[float]) -> Setting:
        """A setting of intervals and values that a shop would choose."""
        return Setting(
            tuple(set_at.snapped(float(each), self.plan.by) for set_at, each in zip(self.sets_at, parts, strict=True)),
            group_past,
            tuple(lever.snapped(float(each)) for lever, each in zip(self.levers, values, strict=True)),
        )

    def _policy(self, setting: Setting) -> Policy:
        """The policy of a setting."""
        policy = policy_of(setting, self.sets_at, self.plan.by, self.works.policies[self.answer.base])
        return with_levers(policy, self.levers, setting.values)

    def _moved(self, setting: Setting, move: Floats) -> Setting:
        """A setting moved by logarithms of its intervals, by steps of its levers, and to other rules."""
        count, values_end = len(self.sets_at), len(self.sets_at) + len(self.levers)
        values = [
            value + lever.step * float(by)
            for lever, value, by in zip(self.levers, setting.values, move[count:values_end], strict=True)
        ]
        moved = self._snapped(np.array(setting.parts) * np.exp(move[:count]), setting.group_past, values)
        return switched(replace(moved, ways=setting.ways), self.switches, move[values_end:])

    def _grids(self, width: float) -> list[Floats]:
        """Values of each variable about the best that a shop can write down, as moves."""
        best, steps = self._best_setting, np.linspace(-width, width, 41)
        parts = [
            {set_at.snapped(now * math.exp(step), self.plan.by) for step in steps} | {now}
            for set_at, now in zip(self.sets_at, best.parts, strict=True)
        ]
        values = [
            {lever.snapped(now + lever.step * step) for step in steps} | {now}
            for lever, now in zip(self.levers, best.values, strict=True)
        ]
        return [
            *(np.log(np.array(sorted(each)) / now) for each, now in zip(parts, best.parts, strict=True)),
            *(
                (np.array(sorted(each)) - now) / lever.step
                for lever, each, now in zip(self.levers, values, best.values, strict=True)
            ),
            # Another rule is taken alone, as one that only seems to gain is soon found among so many.
            *(np.zeros(1) for _ in self.switches),
        ]

    def trial_of(self, setting: Setting) -> Trial:
        """The works under the policy of a setting."""
        return Trial(setting, self.works.model_copy(update={"policies": {BEST: self._policy(setting)}}), BEST)

    def _take_best(self, step: str, candidates: Sequence[Trial]) -> Iterator[Answer]:
        """Run candidates in a few replications, the better ones in more, and go on with the best mean."""
        self.words = step
        left = list(candidates)
        for replications in self.plan.steps:
            yield from self.progress_of(self.trials.run(left, replications))
            keys = {trial.key: self.judge.sort_key(trial.key, replications) for trial in left}
            left = sorted(left, key=lambda trial: keys[trial.key])[: max(1, math.ceil(len(left) / 3))]
        self._take(left[0])
        self._note(step, left[0], is_taken=True)
        yield self.interim()

    def _take(self, trial: Trial) -> None:
        """Go on with another setting."""
        assert isinstance(trial.key, Setting)
        self.best, self.first = trial, None
        self.answer = self.answer.but(setting=trial.key, tested=(), flat={}, flat_levers={})

    def _stand_by_best(self) -> None:
        """Where nothing has been taken yet, the first answer is the best, or else the policy set out from."""
        if self.best is None and self.first is not None:
            (self.answer, self.best), self.first = self.first, None
        elif self.best is None:
            self.know_ways()
            self._take(self.trial_of(self._given(self.answer.base)))

    def _high(self, name: str) -> float:
        """Upper end of what is capped, at the best so far."""
        few = [number for key, number in self.trials.known() if key == self._best.key]
        interval = self.trials.mean(self._best.key, name, few, self.judge.confidence)
        return interval.mean if np.isnan(interval.half_width) else interval.high

    def _note(self, step: str, trial: Trial, is_taken: bool) -> None:
        """Write down what was tried."""
        done = [number for key, number in self.trials.known() if key == trial.key]
        mean = self.trials.mean(trial.key, self.goal.measure.name, done, self.judge.confidence)
        words = "taken" if is_taken else "not better"
        words = f"{words}, {len(done)} replications"
        row = {"step": step, "words": words, "mean": mean.mean, "half_width": mean.half_width}
        row |= {"is_taken": is_taken, "runs": self.trials.done}
        self.answer = self.answer.but(path=(*self.answer.path, row))

    def progress_of(self, runs: Iterator[int]) -> Iterator[Answer]:
        """A word after every run, as long as there is time."""
        for _ in runs:
            yield self.interim()
            self.deadline.check()

    def _last_of(self, runs: Iterator[Any]) -> Generator[Answer, None, Any]:
        """A word after every run; returns what comes last."""
        last: Any = None
        for step in runs:
            if isinstance(step, int) and not isinstance(step, bool):
                yield self.interim()
                self.deadline.check()
            else:
                last = step
        return last

    def interim(self, is_final: bool = False) -> Answer:
        """How far it is, with the best so far once there is one."""
        done = self.trials.done
        shown = self.answer if self.first is None else self.first[0]
        answer = shown.but(runs=done) if shown.setting.parts else None
        total = done if is_final else max(self.plan.runs, done)
        return Interim(done, total, self.trials.elapsed_s, answer, self.words, is_final)
