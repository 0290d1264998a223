"""Best intervals of all sets together: renewal reward to start from, then runs that share their chance.

1. Each set by itself, with the worth of a minute at its machine (`renewal`, `minute`).
2. Rounds: settings spread around the best so far, each run once; a parabola for each interval; its lowest point is set
   against the best so far in paired runs and taken only if it is better beyond doubt (`surface`, `contest`).
3. Every interval alone, up and down: that gives the flat ranges, and a last chance for a better one (`flat_range`).
4. The verdict in fresh replications, which the search has not seen and so cannot have been fitted to.
"""

from __future__ import annotations

from collections.abc import Callable, Generator, Iterator, Sequence
from dataclasses import replace
from typing import Any

import numpy as np

from linesim.errors import StudyError
from linesim.plan.build import make_plan
from linesim.study.search.common.budget import FRESH
from linesim.study.search.common.deadline import TimeUp
from linesim.study.search.common.levers import centred_values, levers_of
from linesim.study.search.common.set_at import Setting
from linesim.study.search.common.trials import Trial
from linesim.study.search.intervals.best import Try, Verdict
from linesim.study.search.intervals.flat_range import flat_range, next_tries, next_values
from linesim.study.search.intervals.minute import Standstill, part_worth, standstill_runs, weights_at
from linesim.study.search.intervals.renewal import renewal_of
from linesim.study.search.intervals.surface import fitted, lowest, spread_out
from linesim.study.search.intervals.walk import Answer, Walk
from linesim.study.statistics.intervals import holm

__all__ = ["IntervalSearch"]

_WIDTHS = (0.7, 0.5, 0.35)
"""Half sides of the boxes of settings, in natural logarithms of the intervals, one after another."""

_GROUPS = (None, 0.5, 0.7, 0.85)
_LOSS_PRICES = (0.0, 0.3, 1.0, 3.0, 10.0)


class IntervalSearch(Walk):
    """One search on its way."""

    # --- the way through -----------------------------------------------------------------------------------------

    def steps(self) -> Iterator[Answer]:
        """From the policies of the scenario to the verdict, which there is however early the time is up."""
        try:
            yield from self._policies()
            yield from self._start()
            yield from self._rounds()
            yield from self._alone()
        except TimeUp:
            self.answer = self.answer.but(is_settled=False)
        yield from self._verdict()

    def _policies(self) -> Iterator[Answer]:
        """Which policy of the scenario to set out from."""
        self.words = "looking at the policies of the scenario"
        base = yield from self._last_of(self.judge.best_policy(self.works, self.names, self.plan.few))
        self.levers = levers_of(self.works, base) if self.plan.levers else ()
        self.answer = self.answer.but(base=base, levers=self.levers, setting=self._given(base))
        yield self._interim()

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
        as_given = self._given(base).values
        renewals = [renewal_of(self.works, of_plan, place) for place in self.places]

        def by_itself(standstill: Standstill, loss: float) -> Setting:
            weights = [weights_at(each.place, self.goal, standstill.per_minute, worth, loss) for each in renewals]
            parts = [each.best(weight) for each, weight in zip(renewals, weights, strict=True)]
            return self._snapped(parts, None, as_given)

        usual = 0.0 if self.goal.name == "output" else 1.0
        first = self._trial(by_itself(Standstill(worth.per_minute), usual))
        stations = list(dict.fromkeys((place.line, place.operation) for place in self.places))
        runs = standstill_runs(self.trials, first, stations, self.goal, few, worth)
        standstill = yield from self._last_of(runs)
        settings = [by_itself(standstill, loss) for loss in self._loss_prices(level)]
        starts = self._starts(settings)
        self.answer = self.answer.but(
            renewal={place.key: parts for place, parts in zip(self.places, settings[0].parts, strict=True)}
        )
        yield from self._take_best("each set by itself", [self._trial(setting) for setting in starts])

    def _rounds(self) -> Iterator[Answer]:
        """Settings spread around the best so far, until no change is better beyond doubt."""
        refused = 0
        count = max(6 * (2 * (len(self.places) + len(self.levers)) + 1), self.plan.runs // 12)
        for number in range(100):
            width = _WIDTHS[min(refused, len(_WIDTHS) - 1)]
            if refused > len(_WIDTHS) - 1 or self.trials.done + count > 0.6 * self.plan.runs:
                break
            self.words = f"round {number + 1}: settings spread around the best so far"
            proposals = yield from self._spread(count, width, number)
            is_taken = yield from self._challenge(f"round {number + 1}", proposals)
            refused = 0 if is_taken else refused + 1

    def _alone(self) -> Iterator[Answer]:
        """Each interval by itself; begun again whenever that finds a better setting."""
        is_settled = False
        while not (is_settled or (self.answer.flat and self.is_spent)):
            self.words = "how far each interval may be moved"
            self.answer = self.answer.but(tested=(), flat={})
            yield from self._move_each()
            is_taken = yield from self._challenge("single intervals", self._better_moves())
            is_settled = not is_taken and not self.is_spent
        self.answer = self.answer.but(is_settled=is_settled)

    def _verdict(self) -> Iterator[Answer]:
        """The best against the policy set out from, in fresh replications."""
        self.words = "the verdict, in fresh replications"
        if self.best is None:
            self._take(self._trial(self._given(self.answer.base)))
        base, best = Trial(("policy", self.answer.base), self.works, self.answer.base), self._best
        fresh = range(FRESH, FRESH + self.deadline.fresh_in_time)
        for _ in self.trials.run([best, base], fresh):
            yield self._interim()
        names = [measure.name for measure in self.answer.measures]
        confidence = self.judge.confidence
        self.answer = self.answer.but(
            verdict=Verdict(
                {name: self.trials.mean(best.key, name, fresh, confidence) for name in names},
                {name: self.trials.mean(base.key, name, fresh, confidence) for name in names},
                {name: self.trials.difference(best.key, base.key, name, fresh, confidence) for name in names},
                FRESH,
                len(fresh),
            )
        )
        yield self._interim(is_final=True)

    # --- starts --------------------------------------------------------------------------------------------------

    def _loss_prices(self, level: float) -> list[float]:
        """What quality loss may count for at the start; several where only a cap speaks of it."""
        if self.goal.name != "output" and not self.goal.caps:
            return [1.0]
        per_money = abs(level) / 500.0 if self.goal.name == "output" else 1.0
        prices = [per_money * price for price in _LOSS_PRICES]
        return prices if self.goal.caps else [0.0]

    def _starts(self, settings: Sequence[Setting]) -> list[Setting]:
        """Settings from which the search may begin: scaled, grouped, and those of the policy set out from."""
        given = self._given(self.answer.base)
        groups = _GROUPS if self._may_group else (given.group_past,)
        scaled = [
            self._snapped([factor * parts for parts in setting.parts], group, setting.values)
            for setting in settings
            for group in groups
            for factor in ((0.8, 1.0, 1.25) if len(settings) == 1 else (1.0,))
        ]
        return list(dict.fromkeys([*scaled, *(self._centred(each) for each in (*scaled, given)), given]))

    def _centred(self, setting: Setting) -> Setting:
        """The same with fresh edges aimed so that the mean of their drift is 0."""
        if all(lever.kind != "aim" for lever in self.levers):
            return setting
        policy = self._policy(setting)
        return replace(setting, values=centred_values(self.works, policy, setting.values, self.levers))

    @property
    def _may_group(self) -> bool:
        """Whether sets can be changed together at all, and it is asked for."""
        stations = [(place.line, place.operation) for place in self.places]
        return self.plan.groups and len(set(stations)) < len(stations)

    # --- rounds --------------------------------------------------------------------------------------------------

    def _spread(self, count: int, width: float, number: int) -> Generator[Answer, None, list[Trial]]:
        """Run settings spread around the best; returns those at the lowest points of what was fitted."""
        best, few = self._best_setting, self.plan.replications
        variables = len(self.places) + len(self.levers)
        points = spread_out(count, variables, width, self.trials.seed % 2**32 + number)
        settings = [self._moved(best, row) for row in points]
        wanted = [(self._trial(setting), at % few) for at, setting in enumerate(settings)]
        yield from self._progress_of(self.trials.run_each(wanted))
        logs = np.array([self._apart(setting, best) for setting in settings])
        groups = np.arange(count) % few

        def surface(name: str, turned: Callable[[Any], Any]) -> Any:
            values = turned(np.array([self.trials.values(trial.key, name, [at])[0] for trial, at in wanted]))
            stored = np.isfinite(values)
            return fitted(logs[stored], values[stored], groups[stored])

        rooms = [limit - self._high(name) for name, limit in self.goal.caps]
        caps = [surface(name, lambda values: values) for name, _ in self.goal.caps]
        move = lowest(surface(self.goal.measure.name, self.goal.worse), caps, rooms, width)
        steps = [self._moved(best, share * move) for share in (1.0, 0.5)]
        return [self._trial(setting) for setting in dict.fromkeys(steps) if setting != best]

    def _high(self, name: str) -> float:
        """Upper end of what is capped, at the best so far."""
        few = [at for at in range(self.plan.replications) if self.trials.has(self._best.key, at)]
        interval = self.trials.mean(self._best.key, name, few, self.judge.confidence)
        return interval.mean if np.isnan(interval.half_width) else interval.high

    # --- single intervals ----------------------------------------------------------------------------------------

    def _move_each(self) -> Iterator[Answer]:
        """Try intervals up and down until each flat range is known."""
        replications, best = range(self.plan.replications), self._best
        yield from self._progress_of(self.trials.run([best], replications))
        setting = self._best_setting
        while True:
            wanted: dict[tuple[str, float], Trial] = {
                (place.key, parts): self._trial(setting.but(at, parts))
                for at, place in enumerate(self.places)
                for parts in next_tries(place, setting.parts[at], self._tests(place.key), self._allowed, self.plan.by)
            }
            wanted |= self._lever_moves(setting)
            if not wanted or (self.answer.tested and self.is_spent):
                break
            yield from self._progress_of(self.trials.run(list(wanted.values()), replications))
            new = [self._test(key, amount, trial) for (key, amount), trial in wanted.items()]
            self.answer = self.answer.but(tested=(*self.answer.tested, *new))
        flat = {
            place.key: flat_range(parts, self._tests(place.key), self._allowed)
            for place, parts in zip(self.places, setting.parts, strict=True)
        }
        of_levers = {
            lever.name: flat_range(value, self._tests(lever.name), self._allowed)
            for lever, value in zip(self.levers, setting.values, strict=True)
        }
        self.answer = self.answer.but(flat=flat, flat_levers=of_levers)

    def _lever_moves(self, setting: Setting) -> dict[tuple[str, float], Trial]:
        """Values of levers to try next, each alone."""
        return {
            (lever.name, value): self._trial(setting.but_value(at, value))
            for at, lever in enumerate(self.levers)
            for value in next_values(lever, setting.values[at], self._tests(lever.name), self._allowed)
        }

    def _tests(self, key: str) -> list[Try]:
        """What was tried of one set or lever."""
        return [one for one in self.answer.tested if one.key == key]

    def _test(self, key: str, parts: float, trial: Trial) -> Try:
        """One interval or value alone against the best."""
        replications = range(self.plan.replications)
        means = [
            (self.trials.mean(trial.key, name, replications, self.judge.confidence).mean, limit)
            for name, limit in self.goal.caps
        ]
        worse = self.judge.worse_by(trial.key, self._best.key, replications)
        return Try(key, parts, worse, any(mean > limit for mean, limit in means))

    @property
    def _allowed(self) -> float:
        """Tolerance in the unit of the goal."""
        level = self.trials.values(self._best.key, self.goal.measure.name, range(self.plan.replications))
        return self.plan.tolerance * abs(float(np.nanmean(level)))

    def _better_moves(self) -> list[Trial]:
        """Settings made of the single moves that are better beyond doubt, all questions counted (Holm)."""
        tested = self.answer.tested
        raised = holm([one.worse.p_value for one in tested])
        clear = [
            one
            for one, p in zip(tested, raised, strict=True)
            if one.worse.mean < 0.0 and p < 1.0 - self.judge.confidence and not one.breaks_cap
        ]
        setting = self._best_setting
        for one in sorted(clear, key=lambda each: -each.worse.mean):  # the best move of a set comes last and stays
            setting = self._with(setting, one)
        moves = [] if setting == self._best_setting else [self._trial(setting)]
        others = [replace(setting, group_past=group) for group in (*_GROUPS, 0.6, 0.9)] if self._may_group else []
        return [*moves, *(self._trial(other) for other in others if other != self._best_setting)]
