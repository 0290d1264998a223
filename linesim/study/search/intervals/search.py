"""Best intervals of all sets together: renewal reward to start from, then runs that share their chance.

1. Each set by itself, with the worth of a minute at its machine (`start`, `renewal`, `minute`).
2. Rounds: settings spread around the best so far, each run twice; all runs near it are fitted at once, over what is
   worked out for each set by itself (`surrogate`); the best of the settings that a shop can write down is set against
   the best so far in paired runs that the fit has not seen, and taken if both together speak for it.
   In the second round some sets of each setting go by another rule than a count (`switches`).
3. Rules that promise something, each alone, if paired runs by themselves are for it: as R-SPLINE ends, by neighbours.
4. The best of the ways come by, in paired runs once more.
5. The verdict in fresh replications, which the search has not seen and so cannot have been fitted to.
6. On demand how far each interval may be moved (`ranges`).
"""

from __future__ import annotations

import math
from collections.abc import Generator, Iterator, Sequence
from dataclasses import replace

import numpy as np

from linesim.study.interim import Ending
from linesim.study.search.common.budget import USUAL_RUNS
from linesim.study.search.common.deadline import TimeUp
from linesim.study.search.common.trials import Trial
from linesim.study.search.intervals.ranges import Ranges
from linesim.study.search.intervals.start import GROUPS, Start
from linesim.study.search.intervals.surface import Parabolas, filling_points, lowest
from linesim.study.search.intervals.switches import flips, is_on, promised_by
from linesim.study.search.intervals.verdict import verdict_on
from linesim.study.search.intervals.walk import Answer

__all__ = ["IntervalSearch"]

_WIDTHS = (0.7, 0.5, 0.35)
"""Half sides of the boxes of settings, in natural logarithms of the intervals, one after another."""

_LEAST_ROUNDS = 2
"""Not before the second round do sets go by other rules."""

_WORTH_A_ROUND = 0.5
"""Share of the tolerance that a move must gain for another round."""

_MOST_ROUNDS = 12
_TWICE = 2
"""Runs of each setting of a round: a second one costs less than another setting, whose plan has to be laid out."""

_SETTINGS_EACH = 2.0
_LEAST_SETTINGS = 24.0
"""Settings of a round: so many for each variable of a line, and the fewest. Three for each take far more runs and come
to nothing better, as `tests.benchmarks.spending` shows."""

_DOUBT = 2.0
"""By how much the standard error of what is fitted is raised, as it is looked at where it promises most."""

_FINALISTS = 4
_NEIGHBOURS = 3


class IntervalSearch(Start):
    """One search on its way."""

    # --- the way through -----------------------------------------------------------------------------------------

    def steps(self) -> Iterator[Answer]:
        """From the policies of the scenario to the verdict, which there is however early it is asked for."""
        try:
            yield from self._at_once()
            yield from self._policies()
            yield from self._start()
            yield from self._rounds()
            yield from self._neighbours()
            yield from self._finals()
        except (TimeUp, Ending) as error:
            self.answer = self.answer.but(is_settled=False)
            self.deadline.hasten(error)
        self._stand_by_best()
        yield from verdict_on(self)
        if self.plan.ranges and not self.deadline.is_hastened:
            yield from Ranges(self).steps()
        yield self.interim(is_final=True)

    def _rounds(self) -> Iterator[Answer]:
        """Settings spread around the best so far, until no move promises anything."""
        share = self.plan.runs / USUAL_RUNS
        count = math.ceil(max(share * max(_SETTINGS_EACH * self.surrogate.size, _LEAST_SETTINGS), 6))
        for number in range(_MOST_ROUNDS):
            if number and self.trials.done + _TWICE * count > self.plan.runs:
                return
            width = _WIDTHS[min(number, len(_WIDTHS) - 1)]
            self.words = f"round {number + 1}: settings spread around the best so far"
            yield from self._fill(count, width, number)
            gain, promised = yield from self._move(width, number)
            if self._is_little(gain, promised, number + 1):
                self.answer = self.answer.but(is_settled=True)
                return

    def _is_little(self, gain: float, promised: float, rounds: int) -> bool:
        """Whether there is next to nothing left; before the narrowest box fit and runs must both say so."""
        tolerance = self.plan.tolerance * abs(self.surrogate.level)
        is_agreed = rounds >= _LEAST_ROUNDS and gain > 0.0 and promised <= tolerance
        return gain <= _WORTH_A_ROUND * tolerance and (is_agreed or rounds >= len(_WIDTHS))

    def _neighbours(self) -> Iterator[Answer]:
        """The rules that promise most and have not been taken, one set after another, in paired runs of their own."""
        self.words = "other rules, one set after another"
        near = self.surrogate.around(self._best_setting)
        fit, each = self.surrogate.goal_around(near), self.plan.replications
        for switch in promised_by(fit, self.switches, self._best_setting)[:_NEIGHBOURS]:
            best = self._best_setting
            setting = best.but_way(switch.at, 0 if is_on(best, switch) else switch.way)
            trial = self.trial_of(setting)
            promised, error = fit.sum_at(self.surrogate.apart(setting, best), near.mark_of(best.group_past))
            gain, numbers = yield from self._paired(trial, promised, error, (_MOST_ROUNDS + 1) * each)
            # The rule that seems best of many is looked at, so that paired runs have to be for it by themselves.
            is_better = gain > 0.0 and self.judge.is_better(trial.key, best, numbers) is True
            self._note("other rules", trial, is_better)
            if is_better:
                self._take(trial)
                self.taken.append(setting)
                yield self.interim()

    def _finals(self) -> Iterator[Answer]:
        """The ways come by and the policy set out from, in paired runs once more; what falls behind drops out."""
        self.words = "the best of those come by, once more"
        settings = dict.fromkeys([*self.taken[-_FINALISTS:], self._given(self.answer.base)])
        others = [self.trial_of(setting) for setting in settings if setting != self._best.key]
        first, few, each = _MOST_ROUNDS * self.plan.replications, len(self.plan.few), self.plan.replications
        for count in sorted({few, each}):
            numbers = range(first, first + count)
            yield from self.progress_of(self.trials.run([self._best, *others], numbers))
            if count == few:
                left = [
                    other for other in others if self.judge.may_be_better(other.key, self._best.key, numbers, _DOUBT)
                ]
                for other in others:
                    if other not in left:
                        self._note("finals", other, is_taken=False)
                others = left
        for other in others:
            apart = self.judge.worse_by(other.key, self._best.key, numbers)
            is_better = self.judge.excess(other.key, numbers) == 0.0 and apart.mean + self.judge.error_of(apart) < 0.0
            self._note("finals", other, is_better)
            if is_better:
                self._take(other)

    # --- rounds --------------------------------------------------------------------------------------------------

    def _fill(self, count: int, width: float, number: int) -> Iterator[Answer]:
        """Run settings spread around the best, every other one grouped in another way."""
        best, each = self._best_setting, self.plan.replications
        seed = self.trials.seed % 2**32 + number
        moved = filling_points(count, len(self.sets_at) + len(self.levers), width, seed)
        open_ones = self.switches if number == 1 else ()
        points = np.hstack([moved, flips(best, self.switches, open_ones, count, seed)])
        others = [group for group in GROUPS if group != best.group_past] if self._may_group else []
        wanted = []
        for at, row in enumerate(points):
            group = others[at // 2 % len(others)] if others and at % 2 else best.group_past
            trial = self.trial_of(replace(self._moved(best, row), group_past=group))
            wanted += [(trial, number * each + (_TWICE * at + again) % each) for again in range(_TWICE)]
        yield from self.progress_of(self.trials.run_each(wanted))

    def _move(self, width: float, number: int) -> Generator[Answer, None, tuple[float, float]]:
        """Set what the fit promises most of against the best so far.

        Returns by how much it is better, 0 if not, and by how much the fit said that it would be.
        """
        best, each = self._best_setting, self.plan.replications
        near = self.surrogate.around(best)
        fit = self.surrogate.goal_around(near)
        caps = [self.surrogate.figure_around(near, name) for name, _ in self.goal.caps]
        move = lowest(fit, caps, [limit - self._high(name) for name, limit in self.goal.caps], self._grids(width))
        group = self._best_group(fit, near.groups)
        for share in (1.0, 0.5):
            setting = replace(self._moved(best, share * move), group_past=group)
            if setting == best:
                continue
            trial = self.trial_of(setting)
            promised, error = fit.sum_at(self.surrogate.apart(setting, best), near.mark_of(group))
            gain, _ = yield from self._paired(trial, promised, error, (number + 1) * each)
            self._note(f"round {number + 1}", trial, gain > 0.0)
            if gain > 0.0:
                self._take(trial)
                self.taken.append(setting)
                yield self.interim()
                return gain, -promised
        return 0.0, 0.0

    def _paired(
        self, trial: Trial, promised: float, error: float, first: int
    ) -> Generator[Answer, None, tuple[float, range]]:
        """By how much a setting is better than the best, by fit and paired runs, and in which: few if those deny it."""
        numbers = range(first, first + len(self.plan.few))
        yield from self.progress_of(self.trials.run([trial, self._best], numbers))
        if self.judge.may_be_better(trial.key, self._best.key, numbers, _DOUBT):
            numbers = range(first, first + self.plan.replications)
            yield from self.progress_of(self.trials.run([trial, self._best], numbers))
        return self._gain_of(trial, promised, _DOUBT * error, numbers), numbers

    def _best_group(self, fit: Parabolas, groups: Sequence[float | None]) -> float | None:
        """The way of grouping that promises most, if it is clear of doubt."""
        first = 2 * len(self.surrogate.reach)
        clear = [
            (float(gain), at)
            for at, gain in enumerate(fit.marks)
            if gain + math.sqrt(max(fit.covariance[first + at, first + at], 0.0)) < 0.0
        ]
        return groups[min(clear)[1]] if clear else self._best_setting.group_past

    def _gain_of(self, trial: Trial, promised: float, error: float, numbers: Sequence[int]) -> float:
        """By how much a setting is better than the best, as far as fit and paired runs show together; 0 or less: not.

        With caps, a setting that keeps to them is better than one that does not.
        """
        mine, other = (self.judge.excess(each.key, numbers) for each in (trial, self._best))
        if mine > 0.0 or other > 0.0:
            return math.inf if mine < other else -math.inf
        apart = self.judge.worse_by(trial.key, self._best.key, numbers)
        by_runs, by_fit = max(self.judge.error_of(apart), 1e-12) ** -2.0, max(error, 1e-12) ** -2.0
        return float(-(by_runs * apart.mean + by_fit * promised) / (by_runs + by_fit))
