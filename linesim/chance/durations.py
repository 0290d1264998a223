"""Lengths of time and other values drawn from named distributions."""

from __future__ import annotations

import math
from enum import IntEnum

from linesim.chance.numbers import block_of, four_of, uniforms
from linesim.law import law
from linesim.normal import normal_from_uniform

__all__ = [
    "Distribution",
    "drawn",
    "listed_at",
    "lognormal_sigma",
    "lognormal_value",
    "weibull_cv",
    "weibull_scale_from_mean",
]


class Distribution(IntEnum):
    """Distribution of a duration. Those of LISTED and IN_ORDER are looked up by the engine and never reach `drawn`."""

    FIXED = 0
    EXPONENTIAL = 1
    GAMMA = 2
    LOGNORMAL = 3
    WEIBULL = 4
    UNIFORM = 5
    TRIANGULAR = 6
    LISTED = 7
    IN_ORDER = 8


_EXPONENTIAL = int(Distribution.EXPONENTIAL)
_GAMMA = int(Distribution.GAMMA)
_LOGNORMAL = int(Distribution.LOGNORMAL)
_WEIBULL = int(Distribution.WEIBULL)
_UNIFORM = int(Distribution.UNIFORM)
_TRIANGULAR = int(Distribution.TRIANGULAR)

ERLANG_LIMIT = 64
"""Whole shapes up to this are drawn as sums of exponentials; above it by the general gamma method."""


@law
def lognormal_sigma(cv: float) -> float:
    """Standard deviation of the logarithm of a lognormal with a given coefficient of variation.

    Parameters
    ----------
    cv : float
        Standard deviation divided by mean, 0 or more.

    Returns
    -------
    float
        sqrt(ln(1 + cv**2)).

    >>> round(lognormal_sigma(0.3), 4)
    0.2936
    """
    return math.sqrt(math.log1p(cv * cv))


@law
def lognormal_value(mean: float, cv: float, normal: float) -> float:
    """Value of a lognormal distribution that belongs to a standard normal number.

    Parameters
    ----------
    mean : float
        Mean, in any unit; the value has the same.
    cv : float
        Standard deviation divided by mean, 0 or more.
    normal : float
        The standard normal number.

    >>> lognormal_value(5.0, 0.0, 1.5), round(lognormal_value(5.0, 0.3, 0.0), 4)
    (5.0, 4.7891)
    """
    sigma = lognormal_sigma(cv)
    return mean * math.exp(sigma * normal - 0.5 * sigma * sigma)


def weibull_scale_from_mean(mean: float, shape: float) -> float:
    """Scale of a Weibull distribution with a given mean: mean / Gamma(1 + 1/shape).

    Parameters
    ----------
    mean : float
        Above 0, in any unit; the scale has the same.
    shape : float
        Above 0.

    >>> weibull_scale_from_mean(60.0, 1.0)
    60.0
    """
    return mean / math.gamma(1.0 + 1.0 / shape)


def weibull_cv(shape: float) -> float:
    """Coefficient of variation of a Weibull distribution, which depends on its shape (above 0) alone.

    >>> round(weibull_cv(2.0), 4)
    0.5227
    """
    first = math.gamma(1.0 + 1.0 / shape)
    return math.sqrt(math.gamma(1.0 + 2.0 / shape) / (first * first) - 1.0)


@law
def _erlang(shape: int, seed: int, replication: int, purpose: int, spot: int, index: int) -> float:
    """Sum of `shape` exponentials of mean 1, four from each draw."""
    total = 0.0
    left = shape
    draw = 0
    words = block_of(seed, replication, purpose, spot, index, 0)
    while left > 0:
        if draw & 1 == 0 and draw > 0:
            words = block_of(seed, replication, purpose, spot, index, draw >> 1)
        a, b, c, d = four_of(words, draw)
        total -= math.log1p(-a)
        if left > 1:
            total -= math.log1p(-b)
        if left > 2:
            total -= math.log1p(-c)
        if left > 3:
            total -= math.log1p(-d)
        left -= 4
        draw += 1
    return total


@law
def _gamma(shape: float, seed: int, replication: int, purpose: int, spot: int, index: int) -> float:
    """Gamma deviate of scale 1 by G. Marsaglia and W. W. Tsang, ACM Trans. Math. Software 26 (2000), 363-372.

    Each attempt takes a draw of its own. Below shape 1 the draw for shape + 1 is multiplied by u**(1/shape), with
    the last number of draw 0, which no attempt uses.
    """
    d = (shape if shape >= 1.0 else shape + 1.0) - 1.0 / 3.0
    c = 1.0 / math.sqrt(9.0 * d)
    draw = 0
    while True:
        first, accept, _, _ = uniforms(seed, replication, purpose, spot, index, draw)
        x = normal_from_uniform(first)
        v = (1.0 + c * x) * (1.0 + c * x) * (1.0 + c * x)
        if v > 0.0 and math.log(accept) < 0.5 * x * x + d - d * v + d * math.log(v):
            break
        draw += 1
    if shape >= 1.0:
        return d * v
    _, _, _, boost = uniforms(seed, replication, purpose, spot, index, 0)
    return d * v * math.pow(boost, 1.0 / shape)


@law
def _triangular(u: float, low: float, mode: float, high: float) -> float:
    """Triangular deviate by inversion; a triangle of no width gives its one value."""
    width = high - low
    if width <= 0.0:
        return low
    if u * width < mode - low:
        return low + math.sqrt(u * width * (mode - low))
    return high - math.sqrt((1.0 - u) * width * (high - mode))


@law
def _inverted(kind: int, p1: float, p2: float, p3: float, u: float) -> float:
    """Deviate of every distribution but GAMMA below which a share u lies."""
    if kind == _EXPONENTIAL:
        return -p1 * math.log1p(-u)
    if kind == _LOGNORMAL:
        sigma = lognormal_sigma(p2)
        return p1 * math.exp(sigma * normal_from_uniform(u) - 0.5 * sigma * sigma)
    if kind == _WEIBULL:
        return p1 * math.pow(-math.log1p(-u), 1.0 / p2)
    if kind == _UNIFORM:
        return p1 + (p2 - p1) * u
    if kind == _TRIANGULAR:
        return _triangular(u, p1, p2, p3)
    return p1


@law
def drawn(
    kind: int,
    p1: float,
    p2: float,
    p3: float,
    seed: int,
    replication: int,
    purpose: int,
    spot: int,
    index: int,
) -> float:
    """One value of a named distribution, a pure function of its arguments.

    Parameters
    ----------
    kind : int
        A member of `Distribution`: FIXED p1; EXPONENTIAL of mean p1; GAMMA of mean p1 and shape p2 (a whole shape is
        Erlang's distribution); LOGNORMAL of mean p1 and coefficient of variation p2; WEIBULL of scale p1 and shape p2;
        UNIFORM from p1 to p2; TRIANGULAR from p1 over its mode p2 to p3.
    p1, p2, p3 : float
        As above, in the unit of the answer; shapes and means above 0. Those not needed are ignored.
    seed, replication, purpose, spot, index : int
        As for `uniforms`.

    Returns
    -------
    float
        In the unit of p1. FIXED for any other kind, LISTED and IN_ORDER included: the caller looks those values up.

    Notes
    -----
    All but GAMMA are inversions of the first uniform and rise with it.

    >>> from linesim.chance.numbers import Purpose
    >>> drawn(Distribution.FIXED, 3.0, 0.0, 0.0, 1, 0, Purpose.CYCLE, 0, 0)
    3.0
    """
    if kind == _GAMMA:
        if p2 == math.floor(p2) and p2 <= ERLANG_LIMIT:
            return p1 / p2 * _erlang(int(p2), seed, replication, purpose, spot, index)
        return p1 / p2 * _gamma(p2, seed, replication, purpose, spot, index)
    u, _, _, _ = uniforms(seed, replication, purpose, spot, index, 0)
    return _inverted(kind, p1, p2, p3, u)


@law
def listed_at(count: int, seed: int, replication: int, purpose: int, spot: int, index: int) -> int:
    """Which of so many listed values is drawn, each as likely as the others and none used up: 0 to ``count`` - 1.

    Parameters
    ----------
    count : int
        Values in the list, 1 or more.
    seed, replication, purpose, spot, index : int
        As for `uniforms`.

    >>> from linesim.chance.numbers import Purpose
    >>> listed_at(1, 1, 0, Purpose.CYCLE, 0, 0)
    0
    """
    u, _, _, _ = uniforms(seed, replication, purpose, spot, index, 0)
    return min(int(u * count), count - 1)
