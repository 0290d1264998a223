"""Control charts of weekly foretelling errors: individuals and an exponentially weighted mean, since when, how surely.

A record is a standard normal value as long as the standing figure holds. Where it is only known to lie between two
bounds (an edge changed before its end), it counts with a value drawn between them, always the same for the same
records: so errors are exactly normal, and false alarms come as seldom as stated. The error of a week is the sum
over the root of the number. Individuals with limits at three standard deviations have an average run length of 370
weeks between false alarms (Shewhart); the weighted mean with weight 0.2 and limits at 2.86 standard deviations of 366,
both together of 202. All are worked out from the normal itself in `tests/outside/test_chart_constants.py`.
Source of the weighted mean: S. W. Roberts 1959; J. M. Lucas and M. S. Saccucci, Technometrics 32 (1990).
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date, datetime, timedelta

import numpy as np
from scipy.special import ndtr, ndtri

__all__ = ["APART", "FURTHEST", "RUN_LENGTH_WEEKS", "WEIGHT", "Chart", "Error", "Week", "charted"]

FURTHEST, WEIGHT, APART = 3.0, 0.2, 2.86
"""Limits of individuals, in standard deviations; weight and limits of the weighted mean."""
RUN_LENGTH_WEEKS = 202
"""Weeks between false alarms of one quantity, on average, both rules together."""
_SEED, _FAR = 7870, 1e6
_SURE = 2.5
"""By how much the logarithm of the likelihood may fall within 95 %: the week of a change held in 95 of 100 logs, drawn
400 times; half of chi-square with one degree of freedom (1.92), which is for a figure and no week, held in 92."""


@dataclass(frozen=True)
class Error:
    """One foretelling error.

    Attributes
    ----------
    when : datetime
        Of the record.
    low, high : float
        Between which its normal value lies; alike where it was seen, infinite above where it would have been more.
    """

    when: datetime
    low: float
    high: float


@dataclass(frozen=True)
class Week:
    """One week on the chart.

    Attributes
    ----------
    monday : date
        Its first day.
    count : int
        Records.
    error : float
        In standard deviations; above 0 if more came than was foretold.
    mean, limit : float
        The weighted mean, and its limit up and down.
    """

    monday: date
    count: int
    error: float
    mean: float
    limit: float

    @property
    def is_out(self) -> bool:
        """Whether the week says that the standing figure no longer holds."""
        return abs(self.error) > FURTHEST or abs(self.mean) > self.limit


@dataclass(frozen=True)
class Chart:
    """The weeks of one quantity.

    Attributes
    ----------
    weeks : tuple of Week
        In order; weeks without a record are left out.
    since, since_low, since_high : date or None
        Week from which the figure has most likely been another, and between which weeks with about 95 %; None as long
        as no week is out.
    """

    weeks: tuple[Week, ...]
    since: date | None = None
    since_low: date | None = None
    since_high: date | None = None

    @property
    def first_out(self) -> Week | None:
        """The first week that is out."""
        return next((week for week in self.weeks if week.is_out), None)


def charted(errors: Iterable[Error]) -> Chart:
    """Put errors onto a chart, week by week.

    Parameters
    ----------
    errors : iterable of Error
        Of one quantity, in any order.
    """
    by: dict[date, list[Error]] = defaultdict(list)
    for each in errors:
        by[each.when.date() - timedelta(days=each.when.weekday())].append(each)
    mondays = sorted(by)
    scores = np.array([_score(monday, by[monday]) for monday in mondays])
    counts = np.array([len(by[monday]) for monday in mondays])
    weeks, mean = [], 0.0
    for at, monday in enumerate(mondays):
        error = float(scores[at] / counts[at] ** 0.5)
        mean += WEIGHT * (error - mean)
        spread = WEIGHT / (2.0 - WEIGHT) * (1.0 - (1.0 - WEIGHT) ** (2 * at + 2))
        weeks.append(Week(monday, len(by[monday]), error, mean, APART * spread**0.5))
    if not any(week.is_out for week in weeks):
        return Chart(tuple(weeks))
    return Chart(tuple(weeks), *_since(mondays, scores, counts))


def _score(monday: date, errors: Sequence[Error]) -> float:
    """Sum of a week's normal values; what is drawn hangs on that week alone, so that later ones change nothing."""
    own = int(1e6 * sum(abs(each.low) for each in errors if abs(each.low) < _FAR))
    chance = np.random.default_rng([_SEED, monday.toordinal(), own])
    return sum(_drawn(each, chance) for each in errors)


def _drawn(each: Error, chance: np.random.Generator) -> float:
    """The normal value of a record, drawn between its bounds where it was not seen."""
    if each.low == each.high:
        return each.low
    more, most = float(ndtr(-each.low)), float(ndtr(-each.high))  # by the upper tails, which stay exact far out
    return float(-ndtri(max(most + chance.random() * (more - most), 1e-300)))


def _since(mondays: Sequence[date], scores: np.ndarray, counts: np.ndarray) -> tuple[date, date, date]:
    """The likeliest week of the change, and the first and last that are nearly as likely."""
    after = np.cumsum(scores[::-1])[::-1] ** 2 / np.cumsum(counts[::-1])[::-1] / 2.0
    likely = np.flatnonzero(after >= after.max() - _SURE)
    return mondays[int(after.argmax())], mondays[int(likely[0])], mondays[int(likely[-1])]
