"""Best intervals of all sets together: renewal reward to start from, then runs that share their chance.

1. Each set by itself, with the worth of a minute at its machine (`renewal`, `minute`).
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

from linesim.errors import StudyError
from linesim.plan.build import make_plan
from linesim.study.interim import Ending
from linesim.study.search.common.budget import USUAL_RUNS
from linesim.study.search.common.deadline import TimeUp
from linesim.study.search.common.levers import centred_values
from linesim.study.search.common.set_at import Setting
from linesim.study.search.common.trials import Trial
from linesim.study.search.intervals.far import far_settings
from linesim.study.search.intervals.minute import (
    PartWorth,
    Standstill,
    paces,
    part_worth,
    standstill_runs,
    weights_at,
)  # fmt: skip
from linesim.study.search.intervals.ranges import Ranges
from linesim.study.search.intervals.renewal import Renewal, renewal_of
from linesim.study.search.intervals.surface import Parabolas, filling_points, lowest
from linesim.study.search.intervals.surrogate import Surrogate
from linesim.study.search.intervals.switches import flips, is_on, promised_by, worth_trying
from linesim.study.search.intervals.verdict import verdict_on
from linesim.study.search.intervals.walk import Answer, Walk

__all__ = ["IntervalSearch"]

_WIDTHS = (0.7, 0.5, 0.35)
"""Half sides of the boxes of settings, in natural logarithms of the intervals, one after another."""

_MOST_ROUNDS = 12
_TWICE = 2
"""Runs of each setting of a round: a second one costs less than another setting, whose plan has to be laid out."""

_SETTINGS_EACH = 3.0
_LEAST_SETTINGS = 24.0
"""Settings of a round: so many for each variable of a line, and the fewest."""

_OPEN = 0.25
"""Share of the tolerance that a move must gain for another round to be worth while."""

_DOUBT = 2.0
"""By how much the standard error of what is fitted is raised, as it is looked at where it promises most."""

_GROUPS = (None, 0.5, 0.7, 0.85)
_LOSS_PRICES = (0.0, 0.3, 1.0, 3.0, 10.0)
_FINALISTS = 4
_NEIGHBOURS = 3


class IntervalSearch(Walk):
    """One search on its way."""

    surrogate: Surrogate
    taken: list[Setting]

    # --- the way through -----------------------------------------------------------------------------------------

    def steps(self) -> Iterator[Answer]:
        """From the policies of the scenario to the verdict, which there is however early it is asked for."""
        self.taken = []
        try:
            yield from self._policies()
            yield from self._start()
            yield from self._rounds()
            yield from self._neighbours()
            yield from self._finals()
        except (TimeUp, Ending) as error:
            self.answer = self.answer.but(is_settled=False)
            self.deadline.hasten(error)
        if self.best is None:
            self._take(self.trial_of(self._given(self.answer.base)))
        yield from verdict_on(self)
        if self.plan.ranges and not self.deadline.is_hastened:
            yield from Ranges(self).steps()
        yield self.interim(is_final=True)

    def _policies(self) -> Iterator[Answer]:
        """Which policy of the scenario to set out from."""
        self.words = "looking at the policies of the scenario"
        base = yield from self._last_of(self.judge.best_policy(self.works, self.names, self.plan.few))
        self.set_out_from(base)
        yield self.interim()

    def _start(self) -> Iterator[Answer]:
        """Renewal reward, first with minutes as the desk reckons them, then with what they are found to be worth."""
        self.words = "what a minute of standstill is worth"
        few, base = self.plan.few, self.answer.base
        values = self.trials.values(("policy", base), self.goal.measure.name, few)
        if not np.isfinite(values).any():
            raise StudyError(f'policy "{base}" ships no good part in any run, so that there is nothing to set out from')
        level = float(values[np.isfinite(values)].mean())
        worth = part_worth(self.works, self.goal, abs(level))
        of_plan = make_plan(self.works, base)
        renewals = [renewal_of(self.works, of_plan, set_at) for set_at in self.sets_at]
        usual = 0.0 if self.goal.name == "output" else 1.0
        first = self.trial_of(self._by_itself(renewals, Standstill(worth.per_minute), worth, usual))
        stations = list(dict.fromkeys((set_at.line, set_at.operation) for set_at in self.sets_at))
        standstill = yield from self._last_of(standstill_runs(self.trials, first, stations, self.goal, few, worth))
        prices = self._loss_prices(level)
        settings = [self._by_itself(renewals, standstill, worth, loss) for loss in prices]
        pace = paces(self.trials, ("policy", base), self.works, self.goal, few)
        weights = [weights_at(set_at, self.goal, standstill.per_minute, worth, prices[0]) for set_at in self.sets_at]
        curves = [pace[each.set_at.line] * each.costs(weight) for each, weight in zip(renewals, weights, strict=True)]
        minutes = [pace[at.line] * weight.minute for at, weight in zip(self.sets_at, weights, strict=True)]
        least = _OPEN * self.plan.tolerance * abs(level)
        self.switches = worth_trying(self.sets_at, curves, minutes, least)
        self.surrogate = Surrogate(
            self.works, self.goal, self.trials, self.sets_at, self.levers, curves, level, self.switches
        )
        self.answer = self.answer.but(
            renewal={set_at.key: parts for set_at, parts in zip(self.sets_at, settings[0].parts, strict=True)}
        )
        yield from self._take_best("each set by itself", [self.trial_of(each) for each in self._starts(settings)])
        self.taken.append(self._best_setting)

    def _by_itself(self, renewals: Sequence[Renewal], standstill: Standstill, worth: PartWorth, loss: float) -> Setting:
        """The interval of each set by itself."""
        weights = [weights_at(each.set_at, self.goal, standstill.per_minute, worth, loss) for each in renewals]
        parts = [each.best(weight) for each, weight in zip(renewals, weights, strict=True)]
        return self._snapped(parts, None, self._given(self.answer.base).values)

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
            gain = yield from self._move(width, number)
            if number >= len(_WIDTHS) - 1 and gain <= _OPEN * self.plan.tolerance * abs(self.surrogate.level):
                self.answer = self.answer.but(is_settled=True)
                return

    def _neighbours(self) -> Iterator[Answer]:
        """The rules that promise most and have not been taken, one set after another, in paired runs of their own."""
        self.words = "other rules, one set after another"
        near = self.surrogate.around(self._best_setting)
        fit, each = self.surrogate.goal_around(near), self.plan.replications
        for number, switch in enumerate(promised_by(fit, self.switches, self._best_setting)[:_NEIGHBOURS]):
            best = self._best_setting
            setting = best.but_way(switch.at, 0 if is_on(best, switch) else switch.way)
            trial, first = self.trial_of(setting), (_MOST_ROUNDS + 1 + number) * each
            promised, error = fit.sum_at(self.surrogate.apart(setting, best), near.mark_of(best.group_past))
            is_better = False
            for count in (len(self.plan.few), each):
                numbers = range(first, first + count)
                yield from self.progress_of(self.trials.run([trial, self._best], numbers))
                if self._gain_of(trial, promised, _DOUBT * error, numbers) <= 0.0:
                    break
                # The rule that seems best of many is looked at, so that paired runs have to be for it by themselves.
                is_better = count == each and self.judge.is_better(trial.key, best, numbers) is True
            self._note("other rules", trial, is_better)
            if is_better:
                self._take(trial)
                self.taken.append(setting)
                yield self.interim()

    def _finals(self) -> Iterator[Answer]:
        """The ways come by, the policy set out from among them, in paired runs once more."""
        self.words = "the best of those come by, once more"
        settings = dict.fromkeys([*self.taken[-_FINALISTS:], self._given(self.answer.base)])
        others = [self.trial_of(setting) for setting in settings]
        numbers = range(_MOST_ROUNDS * self.plan.replications, (_MOST_ROUNDS + 1) * self.plan.replications)
        yield from self.progress_of(self.trials.run(others, numbers))
        for other in others:
            if other.key == self._best.key:
                continue
            apart = self.judge.worse_by(other.key, self._best.key, numbers)
            is_better = self.judge.excess(other.key, numbers) == 0.0 and apart.mean + self.judge.error_of(apart) < 0.0
            self._note("finals", other, is_better)
            if is_better:
                self._take(other)

    # --- starts --------------------------------------------------------------------------------------------------

    def _loss_prices(self, level: float) -> list[float]:
        """What quality loss may count for at the start; several where only a cap speaks of it."""
        if self.goal.name != "output" and not self.goal.caps:
            return [1.0]
        per_money = abs(level) / 500.0 if self.goal.name == "output" else 1.0
        prices = [per_money * price for price in _LOSS_PRICES]
        return prices if self.goal.caps else [0.0]

    def _starts(self, settings: Sequence[Setting]) -> list[Setting]:
        """Settings from which the search may begin: grouped, those of the policy set out from, and far levers."""
        given = self._given(self.answer.base)
        groups = _GROUPS if self._may_group else (given.group_past,)
        grouped = [replace(setting, group_past=group) for setting in settings for group in groups]
        centred = [self._centred(each) for each in (*grouped, given)]
        far = [other for each in (centred[0], given) for other in far_settings(each, self.levers)]
        return list(dict.fromkeys([*grouped, *centred, given, *far]))

    def _centred(self, setting: Setting) -> Setting:
        """The same with fresh edges aimed so that the mean of their drift is 0."""
        if all(lever.kind != "aim" for lever in self.levers):
            return setting
        policy = self._policy(setting)
        return replace(setting, values=centred_values(self.works, policy, setting.values, self.levers))

    @property
    def _may_group(self) -> bool:
        """Whether sets can be changed together at all, and it is asked for."""
        stations = [(set_at.line, set_at.operation) for set_at in self.sets_at]
        return self.plan.groups and len(set(stations)) < len(stations)

    # --- rounds --------------------------------------------------------------------------------------------------

    def _fill(self, count: int, width: float, number: int) -> Iterator[Answer]:
        """Run settings spread around the best, every other one grouped in another way."""
        best, each = self._best_setting, self.plan.replications
        seed = self.trials.seed % 2**32 + number
        moved = filling_points(count, len(self.sets_at) + len(self.levers), width, seed)
        open_ones = self.switches if number == 1 else ()
        points = np.hstack([moved, flips(best, self.switches, open_ones, count, seed)])
        others = [group for group in _GROUPS if group != best.group_past] if self._may_group else []
        wanted = []
        for at, row in enumerate(points):
            group = others[at // 2 % len(others)] if others and at % 2 else best.group_past
            trial = self.trial_of(replace(self._moved(best, row), group_past=group))
            wanted += [(trial, number * each + (_TWICE * at + again) % each) for again in range(_TWICE)]
        yield from self.progress_of(self.trials.run_each(wanted))

    def _move(self, width: float, number: int) -> Generator[Answer, None, float]:
        """Set what the fit promises most of against the best so far; returns by how much it is better, 0 if not."""
        best, each = self._best_setting, self.plan.replications
        near = self.surrogate.around(best)
        fit = self.surrogate.goal_around(near)
        caps = [self.surrogate.figure_around(near, name) for name, _ in self.goal.caps]
        move = lowest(fit, caps, [limit - self._high(name) for name, limit in self.goal.caps], self._grids(width))
        group = self._best_group(fit, near.groups)
        numbers = range((number + 1) * each, (number + 2) * each)
        for share in (1.0, 0.5):
            setting = replace(self._moved(best, share * move), group_past=group)
            if setting == best:
                continue
            trial = self.trial_of(setting)
            yield from self.progress_of(self.trials.run([trial, self._best], numbers))
            promised, error = fit.sum_at(self.surrogate.apart(setting, best), near.mark_of(group))
            gain = self._gain_of(trial, promised, _DOUBT * error, numbers)
            self._note(f"round {number + 1}", trial, gain > 0.0)
            if gain > 0.0:
                self._take(trial)
                self.taken.append(setting)
                yield self.interim()
                return gain
        return 0.0

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
