"""Means with their intervals, and paired differences; quantiles come from SciPy.

`scipy.stats` is not imported here: every command would wait for it, and its t quantile is `scipy.special.stdtrit`.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import NamedTuple

import numpy as np
import numpy.typing as npt
from scipy import special

Floats = npt.NDArray[np.float64]

__all__ = [
    "Difference", "Interval", "each_of", "holm", "mean_interval", "mean_intervals", "paired_difference", "t_quantile",
]  # fmt: skip

_SAME = 1e-12
"""Figures this near to each other, against the greatest of them, differ by rounding alone."""


class Interval(NamedTuple):
    """A mean with half the width of its confidence interval.

    Attributes
    ----------
    mean : float
        Not a number if one of the values is not.
    half_width : float
        Not a number for a single value, from which no interval follows; 0 if all values are the same.
    n : int
        Number of values.
    """

    mean: float
    half_width: float
    n: int

    @property
    def low(self) -> float:
        """Lower end."""
        return self.mean - self.half_width

    @property
    def high(self) -> float:
        """Upper end."""
        return self.mean + self.half_width


class Difference(NamedTuple):
    """A mean paired difference, half its interval's width, the p value of no difference, and the pairs."""

    mean: float
    half_width: float
    p_value: float
    n: int

    @property
    def is_apart(self) -> bool:
        """Whether the interval leaves out 0; never so for a single pair."""
        return abs(self.mean) > self.half_width


def mean_interval(values: Sequence[float] | npt.NDArray[np.float64], confidence: float) -> Interval:
    """Mean of independent values with its t interval.

    Parameters
    ----------
    values : sequence of float
        At least one, one per replication.
    confidence : float
        Between 0 and 1.

    Returns
    -------
    Interval

    Notes
    -----
    Source: Student, "The probable error of a mean", Biometrika 6 (1908), 1-25 (from memory); the quantile comes from
    `scipy.special.stdtrit`, as `scipy.stats.ttest_1samp` takes some thirty times as long for the same figure.

    >>> mean_interval([2.0, 2.0, 2.0], 0.95)
    Interval(mean=2.0, half_width=0.0, n=3)
    """
    given = np.asarray(values, dtype=np.float64)
    mean = float(given.mean())
    if len(given) < 2 or not np.isfinite(given).all():
        return Interval(mean, math.nan, len(given))
    if _is_constant(given, float(np.abs(given).max())):
        return Interval(float(given[0]), 0.0, len(given))
    return Interval(mean, _half_width(given, confidence), len(given))


def mean_intervals(values: npt.NDArray[np.float64], confidence: float) -> tuple[Floats, Floats]:
    """Means of many figures with half widths of their t intervals, all at once.

    Parameters
    ----------
    values : array of float, (n, figures)
        One row per replication, at least one.
    confidence : float
        Of each interval by itself, between 0 and 1.

    Returns
    -------
    array of float, (figures,), twice
        Means and half widths, as `mean_interval` gives them one by one.

    >>> means, half_widths = mean_intervals(np.array([[1.0, 5.0], [3.0, 5.0]]), 0.5)
    >>> means.tolist(), half_widths.round(12).tolist()
    ([2.0, 5.0], [1.0, 0.0])
    """
    n = len(values)
    means: Floats = values.mean(axis=0)
    if n < 2:
        return means, np.full_like(means, math.nan)
    with np.errstate(invalid="ignore"):
        half_widths = t_quantile((1.0 + confidence) / 2.0, n - 1) * values.std(axis=0, ddof=1) / math.sqrt(n)
        is_constant = np.ptp(values, axis=0) <= _SAME * np.abs(values).max(axis=0)
    is_finite = np.isfinite(values).all(axis=0)
    half_widths = np.where(is_finite, np.where(is_constant, 0.0, half_widths), math.nan)
    return np.where(is_constant & is_finite, values[0], means), half_widths


def paired_difference(
    values: Sequence[float] | npt.NDArray[np.float64],
    against: Sequence[float] | npt.NDArray[np.float64],
    confidence: float,
) -> Difference:
    """Mean of value minus its pair, with the paired t interval and test.

    Parameters
    ----------
    values, against : sequence of float
        Equally many; those at the same place share their replication, and with it castings, edges and
        breakdowns.
    confidence : float
        Between 0 and 1, of this one difference.

    Returns
    -------
    Difference
        If every pair differs by the same, that difference is exact: half width 0, and p 0 (1 if it is 0).
    """
    first, second = np.asarray(values, dtype=np.float64), np.asarray(against, dtype=np.float64)
    apart = first - second
    n, mean = len(apart), float(apart.mean())
    if n < 2 or not np.isfinite(apart).all():
        return Difference(mean, math.nan, math.nan, n)
    scale = float(max(np.abs(first).max(), np.abs(second).max()))
    if _is_constant(apart, scale):
        exact = 0.0 if abs(mean) <= _SAME * scale else mean
        return Difference(exact, 0.0, 0.0 if exact else 1.0, n)
    error = float(apart.std(ddof=1)) / math.sqrt(n)
    p_value = 2.0 * float(special.stdtr(n - 1, -abs(mean) / error))
    return Difference(mean, _half_width(apart, confidence), p_value, n)


def _half_width(values: Floats, confidence: float) -> float:
    """Half the t interval of a mean of finite values that are not all the same."""
    n = len(values)
    return float(t_quantile((1.0 + confidence) / 2.0, n - 1)) * float(values.std(ddof=1)) / math.sqrt(n)


def each_of(confidence: float, count: int) -> float:
    """Confidence of each of several intervals, so that all of them hold at once with the confidence wanted.

    Parameters
    ----------
    confidence : float
        Wanted for all together, between 0 and 1.
    count : int
        How many intervals there are; with fewer than 2 nothing changes.

    Returns
    -------
    float

    Notes
    -----
    Source: Bonferroni's inequality.

    >>> round(each_of(0.95, 5), 6)
    0.99
    """
    return 1.0 - (1.0 - confidence) / max(count, 1)


def holm(p_values: Sequence[float]) -> list[float]:
    """Raise p values for having asked several questions at once.

    Parameters
    ----------
    p_values : sequence of float
        One per question; not a number where there is none.

    Returns
    -------
    list of float
        In the same order, each at most 1.

    Notes
    -----
    Source: S. Holm, "A simple sequentially rejective multiple test procedure", Scandinavian Journal of
    Statistics 6 (1979), 65-70 (from memory),

    >>> [round(value, 6) for value in holm([0.01, 0.04, 0.03])]
    [0.03, 0.06, 0.06]
    """
    given = np.asarray(p_values, dtype=np.float64)
    order = np.argsort(given, kind="stable")  # what is not a number comes last
    order = order[: np.count_nonzero(~np.isnan(given))]
    adjusted = np.full(len(given), math.nan)
    adjusted[order] = np.minimum(np.maximum.accumulate(given[order] * np.arange(len(order), 0, -1)), 1.0)
    return [float(value) for value in adjusted]


def t_quantile(share: float, freedom: npt.ArrayLike) -> Floats:
    """Quantile of Student's t below which a share lies, for one or more degrees of freedom.

    >>> round(float(t_quantile(0.975, 7)), 4)  # any table of t
    2.3646
    """
    return np.asarray(special.stdtrit(np.asarray(freedom, dtype=np.float64), share), dtype=np.float64)


def _is_constant(values: npt.NDArray[np.float64], scale: float) -> bool:
    """Whether values differ by rounding alone, against figures of a size."""
    return float(np.ptp(values)) <= _SAME * scale
