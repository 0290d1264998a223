"""How a search begins: an answer in a moment, the policies of the scenario, and each set by itself.

1. Each set by itself with minutes as the desk reckons them, no run needed; two paired runs see that it is not clearly
   worse than the policy to be beaten. That is the first answer, and stands until something better is found.
2. The policies of the scenario, to set out from the best.
3. Each set by itself once more, with what a minute of standstill is found to be worth, grouped and not, aimed and not.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace

import numpy as np

from linesim.errors import StudyError
from linesim.plan.tables import Floats
from linesim.study.crew.parcels import plan_at_hand
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
from linesim.study.search.intervals.renewal import Renewal, renewal_of
from linesim.study.search.intervals.surrogate import Surrogate
from linesim.study.search.intervals.switches import worth_trying
from linesim.study.search.intervals.walk import Answer, Walk

__all__ = ["GROUPS", "Start"]

GROUPS = (None, 0.5, 0.7, 0.85)
"""Shares past which sets may be changed together; None: each by itself."""

_PROMISING = 0.25
"""Share of the tolerance that another rule must promise to be tried at all."""

_LOSS_PRICES = (0.0, 0.3, 1.0, 3.0, 10.0)
_AT_ONCE = range(2)
"""Replications of the first answer."""

_CLEARLY = 0.05
"""Share of the goal by which these must be against it: as few tell no less, and what is worked out is right more often
than their luck is."""

_FIRST_GROUP = 0.7
"""Share past which sets are changed together in it."""


class Start(Walk):
    """A search up to the setting from which its rounds begin."""

    surrogate: Surrogate
    taken: list[Setting]
    _renewals: tuple[str, list[Renewal]] = ("", [])

    def _at_once(self) -> Iterator[Answer]:
        """An answer in a moment, against the policy that is to be beaten."""
        self.taken, base = [], self.names[0]
        self.words = "each set by itself, as it can be worked out"
        self.set_out_from(base)
        self.answer = self.answer.but(setting=Setting(()))
        policy = Trial(("policy", base), self.works, base)
        yield from self.progress_of(self.trials.run([policy], _AT_ONCE))
        level = self._level(base, _AT_ONCE)
        if np.isfinite(level):
            worth = part_worth(self.works, self.goal, abs(level))
            first = self._by_itself(self._renewals_under(base), Standstill(worth.per_minute), worth, self._loss_price)
            first = replace(first, group_past=_FIRST_GROUP) if self._may_group else first
            trial = self.trial_of(self._centred(first))
            yield from self.progress_of(self.trials.run([trial], _AT_ONCE))
            if not self.judge.is_clearly_worse(trial.key, policy.key, _AT_ONCE, _CLEARLY * abs(level)):
                self._take(trial)
        if self.best is None:
            self.know_ways()
            self.answer = self.answer.but(setting=self._given(base))
        yield self.interim()

    def _policies(self) -> Iterator[Answer]:
        """Which policy of the scenario to set out from; the first answer stands if it is better than all of them."""
        self.words = "looking at the policies of the scenario"
        self.trials.expected = self.plan.runs
        self.know_ways()
        few, first = self.plan.few, self.best
        base = yield from self._last_of(self.judge.best_policy(self.works, self.names, few))
        if first is not None:
            yield from self.progress_of(self.trials.run([first], few))
            is_better = self.judge.sort_key(first.key, few) < self.judge.sort_key(("policy", base), few)
            self.first, self.best = (self.answer, first) if is_better else None, None
            if base != self.names[0]:
                self.trials.forget_settings()
        self.set_out_from(base)
        yield self.interim()

    def _start(self) -> Iterator[Answer]:
        """Renewal reward, first with minutes as the desk reckons them, then with what they are found to be worth."""
        self.words = "what a minute of standstill is worth"
        few, base = self.plan.few, self.answer.base
        level = self._level(base, few)
        if not np.isfinite(level):
            raise StudyError(f'policy "{base}" ships no good part in any run, so that there is nothing to set out from')
        worth = part_worth(self.works, self.goal, abs(level))
        renewals = self._renewals_under(base)
        first = self.trial_of(self._by_itself(renewals, Standstill(worth.per_minute), worth, self._loss_price))
        stations = list(dict.fromkeys((set_at.line, set_at.operation) for set_at in self.sets_at))
        standstill = yield from self._last_of(standstill_runs(self.trials, first, stations, self.goal, few, worth))
        prices = self._loss_prices(level)
        settings = [self._by_itself(renewals, standstill, worth, loss) for loss in prices]
        self._make_surrogate(level, worth, standstill, prices[0])
        self.answer = self.answer.but(
            renewal={set_at.key: parts for set_at, parts in zip(self.sets_at, settings[0].parts, strict=True)}
        )
        yield from self._take_best("each set by itself", [self.trial_of(each) for each in self._starts(settings)])
        self.taken.append(self._best_setting)

    def _make_surrogate(self, level: float, worth: PartWorth, standstill: Standstill, loss: float) -> None:
        """What each set costs by itself is the trend of what is fitted, and says which other rules are worth trying."""
        renewals = self._renewals_under(self.answer.base)
        pace = paces(self.trials, ("policy", self.answer.base), self.works, self.goal, self.plan.few)
        weights = [weights_at(set_at, self.goal, standstill.per_minute, worth, loss) for set_at in self.sets_at]
        curves: list[Floats] = [
            pace[each.set_at.line] * each.costs(weight) for each, weight in zip(renewals, weights, strict=True)
        ]
        minutes = [pace[at.line] * weight.minute for at, weight in zip(self.sets_at, weights, strict=True)]
        self.switches = worth_trying(self.sets_at, curves, minutes, _PROMISING * self.plan.tolerance * abs(level))
        self.surrogate = Surrogate(
            self.works, self.goal, self.trials, self.sets_at, self.levers, curves, level, self.switches
        )

    # --- small matters -----------------------------------------------------------------------------------------------

    def _level(self, base: str, replications: Sequence[int]) -> float:
        """Mean of the goal's measure under a policy, over the runs that have one; not a number if none has."""
        values = self.trials.values(("policy", base), self.goal.measure.name, replications)
        return float(values[np.isfinite(values)].mean()) if np.isfinite(values).any() else np.nan

    def _renewals_under(self, base: str) -> list[Renewal]:
        """What each set costs by itself, under a policy's aims and gauges."""
        if self._renewals[0] != base:
            of_plan = plan_at_hand(self.works, base)
            self._renewals = base, [renewal_of(self.works, of_plan, set_at) for set_at in self.sets_at]
        return self._renewals[1]

    def _by_itself(self, renewals: Sequence[Renewal], standstill: Standstill, worth: PartWorth, loss: float) -> Setting:
        """The interval of each set by itself."""
        weights = [weights_at(each.set_at, self.goal, standstill.per_minute, worth, loss) for each in renewals]
        parts = [each.best(weight) for each, weight in zip(renewals, weights, strict=True)]
        return self._snapped(parts, None, self._given(self.answer.base).values)

    @property
    def _loss_price(self) -> float:
        """What quality loss counts for at first."""
        return 0.0 if self.goal.name == "output" else 1.0

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
        groups = GROUPS if self._may_group else (given.group_past,)
        grouped = [replace(setting, group_past=group) for setting in settings for group in groups]
        first = () if self.first is None else (replace(self.first[0].setting, values=given.values),)
        centred = [self._centred(each) for each in (*grouped, given, *first)]
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
