"""What would change the answer: quality-loss factor, volume and worth of an hour at which two variants are even.

With contribution per hour C = q w - F - q m for q good parts per hour of worth w, F money per hour that runs on
whatever is made (machines and operators), and m all the rest per good part, of which ℓ is quality loss:

- quality loss weighted by λ: C(λ) = C + (1 - λ) q ℓ, so that two variants are even at
  λ* = (B₁ - B₂) / (q₁ ℓ₁ - q₂ ℓ₂) with B = C + q ℓ. Every factor k of Taguchi's loss is meant to be λ* times that of
  the scenario.
- the works sells no more than V parts per hour: C(V) = min(V, q) (w - m) - F.
- an hour of the machines in question could earn r elsewhere: the variant that takes fewer of their minutes gains r
  times
  the hours it leaves; the two are even at r* = difference of contribution over difference of hours.

The interval of a ratio of paired means is Fieller's: all ratios ρ for which the paired t interval of x - ρ y takes in
0. Source: E. C. Fieller, "Some problems in interval estimation", J. Royal Statistical Society B 16 (1954), 175-185
(from memory).
"""

from __future__ import annotations

import itertools
import math
from typing import NamedTuple

import numpy as np
import numpy.typing as npt

from linesim.study.statistics.intervals import t_quantile

__all__ = ["Even", "even_hour", "even_loss", "even_volume", "ratio_interval"]

Values = npt.NDArray[np.float64]


class Even(NamedTuple):
    """Where two variants are even.

    Attributes
    ----------
    value : float
        Not a number if nowhere.
    low, high : float
        Ends of its interval; not a number, if the data do not bound it.
    n : int
        Pairs it stands on.
    """

    value: float
    low: float
    high: float
    n: int

    @property
    def is_bounded(self) -> bool:
        """Whether the data carry an interval."""
        return math.isfinite(self.low) and math.isfinite(self.high)


def ratio_interval(top: Values, bottom: Values, confidence: float) -> Even:
    """Ratio of two paired means with Fieller's interval.

    Parameters
    ----------
    top, bottom : array of float
        One value per replication, paired.
    confidence : float
        Between 0 and 1.

    Returns
    -------
    Even
        Without bounds where the mean of ``bottom`` is not told apart from 0.

    >>> found = ratio_interval(np.array([2.0, 2.0, 2.0]), np.array([1.0, 1.0, 1.0]), 0.95)
    >>> [float(value) for value in found[:3]]
    [2.0, 2.0, 2.0]
    """
    n = len(top)
    x, y = float(top.mean()), float(bottom.mean())
    value = x / y if y else math.nan
    if n < 2 or not (np.isfinite(top).all() and np.isfinite(bottom).all()):
        return Even(value, math.nan, math.nan, n)
    squared = float(t_quantile(0.5 + confidence / 2.0, n - 1)) ** 2
    (v_x, v_xy), (_, v_y) = np.cov(top, bottom) / n
    a, b, c = y * y - squared * v_y, x * y - squared * v_xy, x * x - squared * v_x
    root = b * b - a * c
    if a <= 0.0 or root < 0.0:
        return Even(value, math.nan, math.nan, n)
    half = math.sqrt(root) / a
    return Even(value, b / a - half, b / a + half, n)


def even_loss(contribution: tuple[Values, Values], loss_per_hour: tuple[Values, Values], confidence: float) -> Even:
    """Weight of quality loss, against that of the scenario, at which two variants are even.

    Parameters
    ----------
    contribution, loss_per_hour : pair of arrays, money/h
        Of the first and the second variant, replication by replication.
    confidence : float
        Of the interval.

    Returns
    -------
    Even
        1 means the scenario's own factors. Negative: one variant is ahead at every weight.
    """
    base = (contribution[0] + loss_per_hour[0]) - (contribution[1] + loss_per_hour[1])
    return ratio_interval(base, loss_per_hour[0] - loss_per_hour[1], confidence)


def even_hour(contribution: tuple[Values, Values], hours: tuple[float, float], confidence: float) -> Even:
    """Worth of an hour of the machines in question at which two variants are even.

    Parameters
    ----------
    contribution : pair of arrays, money/h
        Of the first and the second variant.
    hours : pair of float
        Hours of these machines that each variant takes in one hour of the line.
    confidence : float
        Of the interval.

    Returns
    -------
    Even
        Money per machine hour; negative: the variant ahead also takes fewer hours.
    """
    more = hours[0] - hours[1]
    n = len(contribution[0])
    if abs(more) < 1e-9:
        return Even(math.nan, math.nan, math.nan, n)
    return ratio_interval(contribution[0] - contribution[1], np.full(n, more), confidence)


def even_volume(output: tuple[float, float], margin: tuple[float, float], fixed: tuple[float, float]) -> float:
    """Good parts per hour that the works must sell for two variants to be even.

    Parameters
    ----------
    output : pair of float, 1/h
        What the line makes at most under each variant.
    margin : pair of float, money
        Worth less all costs that come with a part.
    fixed : pair of float, money/h
        Cost of machines and operators.

    Returns
    -------
    float, 1/h
        The least such volume above 0; not a number if one variant is ahead at every volume.

    >>> even_volume((4.0, 6.0), (100.0, 80.0), (0.0, 0.0))
    5.0
    >>> even_volume((9.0, 9.0), (100.0, 80.0), (100.0, 0.0))
    5.0
    """
    q1, q2 = output
    corners = sorted({0.0, q1, q2})

    def ahead(volume: float) -> float:
        return min(volume, q1) * margin[0] - fixed[0] - (min(volume, q2) * margin[1] - fixed[1])

    for low, high in itertools.pairwise(corners):
        at_low, at_high = ahead(low), ahead(high)
        crosses = at_low * at_high < 0.0 or (at_high == 0.0 and at_low != 0.0)
        if crosses:
            return low + (high - low) * at_low / (at_low - at_high)
    return math.nan
