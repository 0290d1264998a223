"""A trial foretold: its figures week by week, the running totals, and how many weeks it takes to see a difference."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from functools import cached_property
from typing import NamedTuple

import numpy as np
import pandas as pd

from linesim.plan.tables import Floats
from linesim.study.search.common.set_at import SetAt
from linesim.study.statistics.intervals import Difference, paired_difference
from linesim.study.trial.quantities import QUANTITIES, WEAR_READ_MM, Quantity, Surface
from linesim.study.trial.seeing import power_of_weeks, weeks_to_see
from linesim.study.trial.stopping import StopRule, stop_rule
from linesim.study.trial.weeks import Seen, TrialWeek
from linesim.works import Works

__all__ = ["BAND", "READ", "TrialFigures", "band_of_runs"]

BAND = 0.95
"""Share of weeks, or of trials, that a band holds."""
READ = {"wear land": "wear_mm", "size error": "size_um", "roughness": "ra_um", "parts": "parts"}
"""Quantities that are read at a change, and what they are called in `Seen`."""

Runs = Sequence[Sequence[TrialWeek]]


class Sums(NamedTuple):
    """Of one quantity, what adds up over weeks and by what it is divided: (runs, weeks) each."""

    top: Floats
    bottom: Floats

    def by_week(self) -> Floats:
        """Value of each week; not a number where nothing was seen."""
        return _over(self.top, self.bottom)

    def running(self, is_total: bool) -> Floats:
        """Total up to each week, or mean up to it."""
        top = np.cumsum(self.top, axis=1)
        return top if is_total else _over(top, np.cumsum(self.bottom, axis=1))


def _over(top: Floats, bottom: Floats) -> Floats:
    answer: Floats = np.divide(top, bottom, out=np.full(top.shape, np.nan), where=bottom > 0.0)
    return answer


def band_of_runs(values: Floats) -> tuple[float, float, float]:
    """Mean and band of what one more of the same kind will be; not numbers where nothing was seen.

    Ends are order statistics at p (n + 1), which hold the next one as often as they say; fewer than 39 values hold it
    less often, and then the ends are the least and the greatest.
    """
    known = values[np.isfinite(values)]
    if not len(known):
        return math.nan, math.nan, math.nan
    low, high = np.quantile(known, [0.5 - BAND / 2.0, 0.5 + BAND / 2.0], method="weibull")
    return float(known.mean()), float(low), float(high)


@dataclass(frozen=True, eq=False, repr=False)
class TrialFigures:
    """What is foretold of a trial.

    Attributes
    ----------
    works : Works
        The scenario.
    policy : str
        Today's practice, which holds for all other sets.
    set_at : SetAt
        The set.
    interval : int
        Parts after which it is changed in the trial.
    today : str
        When it is changed today, as the end of a sentence that begins with "changed".
    surface : Surface or None
        What a gauge can read of it.
    n_weeks, seed : int
        Weeks of the trial; key of all chance.
    confidence : float
        Of the intervals of means.
    before, during : sequence of sequence of TrialWeek
        Run by run, today's practice and the trial; runs at the same place share their chance.
    """

    works: Works
    policy: str
    set_at: SetAt
    interval: int
    today: str
    surface: Surface | None
    n_weeks: int
    seed: int
    confidence: float
    before: Runs
    during: Runs

    @property
    def lives(self) -> float:
        """The interval over the life of an average edge; above 1 it goes past the wear limit."""
        return self.interval / self.set_at.parts_per_life

    @property
    def quantities(self) -> tuple[Quantity, ...]:
        """Those that this set has."""
        return tuple(of for of in QUANTITIES if np.isfinite(self.sums(of.name, self.during).by_week()).any())

    def sums(self, name: str, runs: Runs) -> Sums:
        """One quantity, run by run and week by week."""
        if name in READ:
            values = [[self._read(week.seen, READ[name]) for week in run] for run in runs]
            return Sums(*(np.array([[each(week) for week in run] for run in values]) for each in (np.sum, np.size)))
        tops: dict[str, Callable[[TrialWeek], float]] = {
            "changes": lambda week: len(week.seen),
            "broken": lambda week: sum(each.is_broken for each in week.seen),
            "scrap": lambda week: week.scrap,
            "loss": lambda week: week.loss,
            "money": lambda week: week.money,
        }
        top = np.array([[float(tops[name](week)) for week in run] for run in runs])
        shipped = np.array([[week.shipped for week in run] for run in runs])
        return Sums(top, shipped if name == "loss" else np.ones(top.shape))

    @staticmethod
    def _read(seen: Sequence[Seen], field: str) -> Floats:
        values = np.array([getattr(each, field) for each in seen if not each.is_broken], dtype=np.float64)
        return values[np.isfinite(values)]

    def readings(self, name: str) -> list[Floats]:
        """All that is read of a quantity in the trial, run by run."""
        return [self._read([each for week in run for each in week.seen], READ[name]) for run in self.during]

    def reading_error(self, name: str) -> float:
        """Standard deviation of the gauge at one reading, in the quantity's unit."""
        errors = {"wear land": WEAR_READ_MM, "size error": 0.0 if self.surface is None else self.surface.error_um}
        return errors.get(name, 0.0)

    @cached_property
    def stop(self) -> StopRule:
        """When the trial is broken off."""
        runs = [
            [np.array([each.is_broken for each in week.seen], dtype=np.bool_) for week in run] for run in self.during
        ]
        return stop_rule(runs, self.seed)

    def difference(self, name: str) -> Difference:
        """Trial less today's practice, of a mean week."""
        means = []
        for runs in (self.during, self.before):
            sums = self.sums(name, runs)
            means.append(_over(sums.top.sum(axis=1), sums.bottom.sum(axis=1)))
        known = np.isfinite(means[0]) & np.isfinite(means[1])
        if known.sum() < 2:
            return Difference(math.nan, math.nan, math.nan, int(known.sum()))
        return paired_difference(means[0][known], means[1][known], self.confidence)

    def scatter(self, name: str) -> float:
        """Standard deviation of one week about the mean of its run, before and during together."""
        squares, spare = 0.0, 0
        for runs in (self.before, self.during):
            values = self.sums(name, runs).by_week()
            values = values if values.shape[1] > 1 else values.T
            for row in values:
                known = row[np.isfinite(row)]
                squares += float(((known - known.mean()) ** 2).sum()) if len(known) else 0.0
                spare += max(len(known) - 1, 0)
        return math.sqrt(squares / spare) if spare else math.nan

    @cached_property
    def table(self) -> pd.DataFrame:
        """One row for each quantity: before and during, and when the difference is seen.

        Returns
        -------
        DataFrame
            name, quantity, unit; today, trial (mean of a week, or of a reading); week_low, week_high (band of one
            week); change, half_width, is_apart; scatter (of one week); weeks_to_see (missing where the runs do not
            tell the two apart, or beyond 520), power (chance to see it in the weeks of the trial).
        """
        rows = []
        for of in self.quantities:
            apart, scatter = self.difference(of.name), self.scatter(of.name)
            sums, old = self.sums(of.name, self.during), self.sums(of.name, self.before)
            trial, low, high = band_of_runs(sums.by_week().ravel())
            weeks = weeks_to_see(apart.mean, scatter) if apart.is_apart and math.isfinite(scatter) else None
            known = apart.is_apart and math.isfinite(scatter)
            power = power_of_weeks(self.n_weeks, apart.mean, scatter) if known else math.nan
            today = float(np.nanmean(old.by_week())) if np.isfinite(old.by_week()).any() else math.nan
            unit = of.unit.replace("money", self.works.currency)
            rows.append((of.name, of.words, unit, today, trial, low, high, apart.mean, apart.half_width,
                         apart.is_apart, scatter, weeks, power))  # fmt: skip
        heads = ["name", "quantity", "unit", "today", "trial", "week_low", "week_high", "change", "half_width",
                 "is_apart", "scatter", "weeks_to_see", "power"]  # fmt: skip
        return pd.DataFrame(rows, columns=heads).astype({"weeks_to_see": "Int64"})

    @cached_property
    def weeks(self) -> pd.DataFrame:
        """One row for each week and quantity.

        Returns
        -------
        DataFrame
            week, name, quantity, unit; mean, low, high (of this week); total, total_low, total_high (up to the end of
            this week: of what adds up the sum, else the mean).
        """
        rows = []
        for of in self.quantities:
            sums = self.sums(of.name, self.during)
            unit, running = of.unit.replace("money", self.works.currency), sums.running(of.is_total)
            pooled = band_of_runs(sums.by_week().ravel())
            for at in range(self.n_weeks):
                total = band_of_runs(running[:, at])
                rows.append((at + 1, of.name, of.words, unit, *pooled, *total))
        heads = ["week", "name", "quantity", "unit", "mean", "low", "high", "total", "total_low", "total_high"]
        return pd.DataFrame(rows, columns=heads).sort_values("week", kind="stable").reset_index(drop=True)

    def total(self, name: str, week: int) -> tuple[float, float, float]:
        """Mean and band of a running total at the end of a week."""
        of = next(each for each in QUANTITIES if each.name == name)
        return band_of_runs(self.sums(name, self.during).running(of.is_total)[:, week - 1])
