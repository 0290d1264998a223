"""What the goal does over all intervals and levers together: renewal reward as the trend, what runs add as parabolas.

Each line of a works is fitted to its own figures where the goal adds up over lines, so that the noise of the others
stays out of it and a works of four lines needs no more runs than one line; what sets do to other lines (they share
setters and grinders) is fitted to what is left over, and kept small beforehand.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property

import numpy as np

from linesim.plan.tables import Floats, Ints
from linesim.study.search.common.goal import Goal
from linesim.study.search.common.lever import Lever
from linesim.study.search.common.set_at import SetAt, Setting
from linesim.study.search.common.trials import Trials
from linesim.study.search.intervals.surface import Parabolas, Trend, fitted, summed, with_trends
from linesim.study.search.intervals.switches import Switch, is_on
from linesim.works import Works
from linesim.works.walks import cutters_of, operations_of

__all__ = ["Around", "Surrogate"]

_REACH = 1.2
"""Runs of settings that lie farther from the best so far, in logarithms of an interval, are left out of a fit."""

_REACH_STEPS = 3.0
"""The same for levers, in steps."""

_OF_OWN_COST = 0.5
_OF_LEVEL = 0.003
_OF_LEVER = 0.02
_OF_MARK = 0.02
_OF_OTHERS = 0.3
"""What parabolas can amount to beforehand, as standard deviations: of what a set costs in all, of the goal's level for
any set, for a step of a lever and for a way of grouping; and on other lines as a share of that (all assumed)."""


@dataclass(frozen=True)
class Around:
    """Runs near a setting, as a fit takes them.

    Attributes
    ----------
    best : Setting
        The middle.
    runs : list of (Setting, int)
        Settings and replications.
    points : array, shape (n, variables)
        How far each setting is moved from the middle.
    marks : array, shape (n, groups)
        1 where a setting groups stops in a way of its own, other than the middle.
    groups : tuple
        These ways.
    """

    best: Setting
    runs: list[tuple[Setting, int]]
    points: Floats
    marks: Floats
    groups: tuple[float | None, ...]

    @property
    def numbers(self) -> Ints:
        """Replications."""
        return np.array([number for _, number in self.runs], dtype=np.int64)

    def mark_of(self, group: float | None) -> Floats:
        """Marks of a setting that groups stops so."""
        return np.array([float(group == each) for each in self.groups])


@dataclass(frozen=True)
class Surrogate:
    """The goal over all intervals and levers.

    Attributes
    ----------
    works, goal, trials
        The scenario; what is sought; its runs.
    sets_at, levers
        What is moved.
    curves : sequence of array
        By set: what it costs by itself when it is changed after 1, 2 ... parts, in the unit of the goal, more is worse.
    level : float
        The goal's measure as the search sets out.
    switches : sequence of Switch
        Sets that may go by another rule than a count, each a variable behind intervals and levers: 0 or 1.
    """

    works: Works
    goal: Goal
    trials: Trials
    sets_at: Sequence[SetAt]
    levers: Sequence[Lever]
    curves: Sequence[Floats]
    level: float
    switches: Sequence[Switch] = ()

    @property
    def size(self) -> int:
        """Intervals and levers for which a round has settings, as many as the line has that has most.

        Where lines are looked at each by itself, more: settings serve all lines at once, but what is left undone on
        each adds up. With the cube root a works of five times the lines takes less than six times as long.
        """
        moved = len(self.sets_at) + len(self.levers)
        longest = max((int((own < moved).sum()) for own in self._own), default=0)
        return round(math.cbrt(longest**2 * moved))

    def around(self, best: Setting) -> Around:
        """Runs near a setting."""
        runs = [(key, number) for key, number in self.trials.known() if isinstance(key, Setting)]
        points = np.array([self.apart(key, best) for key, _ in runs]).reshape(len(runs), len(self.reach))
        near = (np.abs(points) <= self.reach).all(axis=1)
        runs = [run for run, is_near in zip(runs, near, strict=True) if is_near]
        groups = tuple(dict.fromkeys(key.group_past for key, _ in runs if key.group_past != best.group_past))
        marks = np.array([[float(key.group_past == group) for group in groups] for key, _ in runs])
        return Around(best, runs, points[near], marks.reshape(len(runs), len(groups)), groups)

    def apart(self, setting: Setting, other: Setting) -> Floats:
        """By how much a setting is moved from another: logarithms of its intervals, steps of its levers, other rules.

        The interval of a set that goes by another rule says nothing of that rule, and counts as not moved.
        """
        logs = np.log(np.array(setting.parts) / np.array(other.parts))
        logs[[setting.way(at) != other.way(at) for at in range(len(logs))]] = 0.0
        ways = np.array([is_on(setting, each) - is_on(other, each) for each in self.switches])
        values = np.array(setting.values) - np.array(other.values)
        return np.concatenate([logs, values / np.array([lever.step for lever in self.levers]), ways])

    def goal_around(self, near: Around) -> Parabolas:
        """The goal fitted to runs, trends and all; more is worse."""
        trends = self._trends(near.best)
        lines: list[str | None] = [*self._lines] or [None]
        rest, parts = np.zeros(len(near.runs)), []
        for line, own in zip(lines, self._own, strict=True):
            values = self._values(near, line) - sum(
                (each(near.points[:, at]) for at, each in enumerate(trends) if each and self._first[at] == line),
                np.zeros(len(near.runs)),
            )
            stored = np.isfinite(values)
            of = fitted(
                near.points[stored][:, own], values[stored], near.numbers[stored], self._prior(own, near),
                near.marks[stored],
            )  # fmt: skip
            parts.append((of, own))
            rest += values - of.over(near.points[:, own], near.marks)
        everything = np.arange(len(self.reach))
        if len(lines) > 1:
            stored, prior = np.isfinite(rest), _OF_OTHERS * self._prior(everything, near)
            over = fitted(near.points[stored], rest[stored], near.numbers[stored], prior, near.marks[stored])
            parts.append((over, everything))
        return with_trends(summed(parts, len(everything)), trends)

    def figure_around(self, near: Around, name: str) -> Parabolas:
        """Any other figure, such as one that is capped, fitted to runs without a trend."""
        values = np.array([self.trials.values(key, name, [number])[0] for key, number in near.runs])
        stored = np.isfinite(values)
        scale = float(np.abs(values[stored]).mean()) if stored.any() else 1.0
        prior = np.full(2 * len(self.reach) + len(near.groups), max(0.2 * scale, 1e-9))
        return fitted(near.points[stored], values[stored], near.numbers[stored], prior, near.marks[stored])

    # --- what is known beforehand ------------------------------------------------------------------------------------

    @cached_property
    def reach(self) -> Floats:
        """How far from the middle a run may lie, variable by variable."""
        of_levers = [_REACH_STEPS] * len(self.levers)
        return np.array([_REACH] * len(self.sets_at) + of_levers + [1.0] * len(self.switches))

    @cached_property
    def _lines(self) -> list[str]:
        """Lines that are looked at each by itself; none where the goal does not add up over them."""
        return list(self.works.lines) if self.goal.adds_up and len(self.works.lines) > 1 else []

    @cached_property
    def _own(self) -> list[Ints]:
        """Variables of each line that is looked at by itself; of all together else."""
        if not self._lines:
            return [np.arange(len(self.reach))]
        lines = [self._lines_of(set_at.key) for set_at in self.sets_at]
        lines += [{lever.key} & set(self.works.lines) or self._lines_of(lever.key) for lever in self.levers]
        lines += [self._lines_of(self.sets_at[switch.at].key) for switch in self.switches]
        return [np.array([at for at, of in enumerate(lines) if name in of], dtype=np.int64) for name in self._lines]

    def _lines_of(self, key: str) -> set[str]:
        """Lines that have an operation, or a set or gauge at one, as policies name it; several may have the same."""
        return {
            at.line_name
            for at in operations_of(self.works)
            if key in (at.name, *(f"{at.name} / {name}" for name in (*cutters_of(at.operation), *at.operation.gauges)))
        }

    @cached_property
    def _first(self) -> list[str | None]:
        """Line of each set's trend."""
        return [set_at.line if self._lines else None for set_at in self.sets_at]

    def _prior(self, own: Ints, near: Around) -> Floats:
        """Standard deviations of slopes, bends and marks of some variables."""
        level, share = abs(self.level), 1.0 / max(len(self._lines), 1)
        costs = [
            _OF_OWN_COST * float(curve[min(parts, len(curve)) - 1])
            for curve, parts in zip(self.curves, near.best.parts, strict=True)
        ]
        sets = np.maximum(np.array(costs), _OF_LEVEL * share * level)
        ways = sets[[switch.at for switch in self.switches]] if self.switches else np.zeros(0)
        each = np.concatenate([sets, np.full(len(self.levers), _OF_LEVER * share * level), ways])[own]
        prior: Floats = np.concatenate([each, each, np.full(len(near.groups), _OF_MARK * share * level)])
        return np.maximum(prior, 1e-12)

    def _trends(self, best: Setting) -> list[Trend | None]:
        """What is worked out beforehand for each variable."""
        trends: list[Trend | None] = [
            None if best.way(at) else _along(curve, parts)
            for at, (curve, parts) in enumerate(zip(self.curves, best.parts, strict=True))
        ]
        return [*trends, *([None] * (len(self.levers) + len(self.switches)))]

    def _values(self, near: Around, line: str | None) -> Floats:
        """The goal in each run, of one line or of the whole works; more is worse."""
        name = self.goal.measure.name
        if line is None:
            return self.goal.worse(np.array([self.trials.values(key, name, [at])[0] for key, at in near.runs]))
        return self.goal.worse(np.array([self.trials.of_line(key, name, line, [at])[0] for key, at in near.runs]))


def _along(curve: Floats, parts: int) -> Trend:
    """A curve over parts as one over logarithms, 0 at an interval."""

    def trend(x: Floats) -> Floats:
        at = np.clip(np.rint(parts * np.exp(x)).astype(np.int64), 1, len(curve)) - 1
        answer: Floats = curve[at] - curve[min(parts, len(curve)) - 1]
        return answer

    return trend
