"""Student's t distribution for whole degrees of freedom, from its closed forms.

Every command that gives an interval waits for what this takes. SciPy's own quantile agrees with it to the last digits
(`tests/unit/test_student.py`), but loading `scipy.special` takes longer than the runs of a short study.
"""

from __future__ import annotations

import math
from functools import lru_cache

__all__ = ["t_beyond", "t_quantile_of"]

_MOST_STEPS = 200
_NEAR = 1e-15
_TINY = 1e-300
_NEXT_IS_EXACT = 1e-9
"""A step of Newton's after which the next is nothing but rounding."""


def t_beyond(size: float, freedom: int) -> float:
    """Probability that t lies further from 0 than a size, on either side.

    Parameters
    ----------
    size : float
        At least 0.
    freedom : int
        Degrees of freedom, at least 1.

    Returns
    -------
    float
        1 for a size of 0; exact to some 13 digits far out in the tails too.

    Notes
    -----
    I_x(freedom / 2, 1/2) with x = freedom / (freedom + size**2). Source: M. Abramowitz and I. A. Stegun, "Handbook of
    Mathematical Functions" (1964), 26.7.1 and the continued fraction 26.5.8 (from memory).

    >>> round(t_beyond(1.0, 1), 12)
    0.5
    """
    square = size * size
    if math.isinf(square):
        return 0.0
    share, rest = freedom / (freedom + square), square / (freedom + square)
    half = 0.5 * freedom
    if rest == 0.0:
        return 1.0
    front = math.exp(
        math.lgamma(half + 0.5) - math.lgamma(half) - math.lgamma(0.5) + half * math.log(share) + 0.5 * math.log(rest)
    )
    if share < (half + 1.0) / (half + 2.5):
        return front * _fraction(half, 0.5, share) / half
    return 1.0 - front * _fraction(0.5, half, rest) / 0.5


def _fraction(a: float, b: float, x: float) -> float:
    """The continued fraction of the incomplete beta function, from its head on (W. J. Lentz, 1976)."""
    c, d = 1.0, 1.0 - (a + b) * x / (a + 1.0)
    d = 1.0 / (d or _TINY)
    value = d
    for step in range(1, _MOST_STEPS + 1):
        before = value
        even = a + 2.0 * step
        for factor in (
            step * (b - step) * x / ((even - 1.0) * even),
            -(a + step) * (a + b + step) * x / (even * (even + 1.0)),
        ):
            d = 1.0 / ((1.0 + factor * d) or _TINY)
            c = (1.0 + factor / c) or _TINY
            value *= c * d
        if abs(value - before) <= _NEAR * abs(value):
            break
    return value


@lru_cache(maxsize=4096)
def t_quantile_of(share: float, freedom: int) -> float:
    """Value of t below which a share of its distribution lies.

    Parameters
    ----------
    share : float
        Between 0 and 1.
    freedom : int
        Degrees of freedom, at least 1.

    Returns
    -------
    float
        Without end for a share of 0 or 1.

    Notes
    -----
    Newton's steps on the logarithm of the tail over the logarithm of t: it falls ever more steeply, so that once past
    the value every step comes nearer from that side; up to there no step is longer than the factor e.

    >>> round(t_quantile_of(0.975, 7), 4)  # any table of t
    2.3646
    """
    tails = 2.0 * min(share, 1.0 - share)
    if tails in (0.0, 1.0):
        return 0.0 if tails else math.copysign(math.inf, share - 0.5)
    size, scale = (
        1.0,
        math.exp(math.lgamma(0.5 * freedom + 0.5) - math.lgamma(0.5 * freedom)) / math.sqrt(freedom * math.pi),
    )
    for _ in range(_MOST_STEPS):
        beyond = t_beyond(size, freedom)
        density = scale * (1.0 + size * size / freedom) ** (-0.5 * (freedom + 1))
        step = math.log(beyond / tails) * beyond / (2.0 * density * size)
        size *= math.exp(min(step, 1.0))
        if abs(step) <= _NEXT_IS_EXACT:
            break
    return math.copysign(size, share - 0.5)
