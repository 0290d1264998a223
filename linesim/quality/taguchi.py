"""Quality loss after Taguchi: a part costs more the further it is from its aim, not only past the limit.

Nominal is best: L = k (y - m)², k = A / Δ². Smaller is better: the same with m = 0. Larger is better: L = k / y²,
k = A Δ². A is the loss of a part that lies just at the limit Δ. Source: Taguchi, Elsayed and Hsiang, *Quality
Engineering in Production Systems*, McGraw-Hill 1989; Phadke, *Quality Engineering Using Robust Design*,
Prentice Hall 1989 (both from memory).
"""

from __future__ import annotations

import math

from linesim.law import law

__all__ = [
    "in_plant_tolerance",
    "larger_factor",
    "larger_loss",
    "mean_larger_loss",
    "mean_nominal_loss",
    "mean_weighted_square",
    "nominal_factor",
    "nominal_loss",
    "weighted_square",
]


def nominal_factor(loss_at_limit: float, distance: float) -> float:
    """Factor k = A / Δ² where the nominal value, or the smaller one, is best.

    Parameters
    ----------
    loss_at_limit : float, money
        A, 0 or more.
    distance : float
        Δ from the aim to the limit, above 0; for smaller is better, the limit itself.

    Returns
    -------
    float, money per squared unit of the distance

    >>> nominal_factor(100.0, 5.0)
    4.0
    """
    return loss_at_limit / (distance * distance)


def nominal_loss(factor: float, value: float, aim: float = 0.0) -> float:
    """Loss of one part, k (y - m)²; with an aim of 0, smaller is better.

    >>> nominal_loss(4.0, 182.0, 180.0)
    16.0
    """
    return factor * (value - aim) ** 2


@law
def weighted_square(value: float, aim: float, below: float, above: float) -> float:
    """Square of the distance from the aim, with a weight of its own on each side: the loss over its factor.

    Parameters
    ----------
    value, aim : float
        In one unit.
    below, above : float
        Weights of a value under the aim and of one over it, 0 or more.

    Returns
    -------
    float, squared unit

    Notes
    -----
    Unlike losses on the two sides: Taguchi, Elsayed and Hsiang 1989 (from memory).

    >>> weighted_square(1.0, 2.0, 3.0, 1.0), weighted_square(4.0, 2.0, 3.0, 1.0)
    (3.0, 4.0)
    """
    away = value - aim
    return (below if away < 0.0 else above) * (away * away)


def mean_weighted_square(mean: float, sigma: float, aim: float, below: float, above: float) -> float:
    """Mean of `weighted_square` over lognormal values.

    Parameters
    ----------
    mean, sigma : float
        Of the values, 0 or more; standard deviation of their logarithm, 0 or more.
    aim, below, above : float
        As for `weighted_square`; the aim 0 or more.

    Returns
    -------
    float, squared unit
        From the partial moments of the lognormal distribution (exact).

    >>> round(mean_weighted_square(2.0, 0.0, 3.0, 4.0, 1.0), 6)
    4.0
    """
    if sigma <= 0.0 or mean <= 0.0 or aim <= 0.0:
        return weighted_square(mean, aim, below, above) + above * mean**2 * math.expm1(sigma**2)
    distance = math.log(aim / mean) / sigma + sigma / 2.0
    wholes = (1.0, mean, mean**2 * math.exp(sigma**2))
    lower = [whole * 0.5 * math.erfc((power * sigma - distance) / math.sqrt(2.0)) for power, whole in enumerate(wholes)]
    upper = [whole - part for whole, part in zip(wholes, lower, strict=True)]
    squares = [part[2] - 2.0 * aim * part[1] + aim * aim * part[0] for part in (lower, upper)]
    return below * squares[0] + above * squares[1]


def mean_nominal_loss(factor: float, mean: float, sd: float, aim: float = 0.0) -> float:
    """Mean loss of many parts, k (s² + (ȳ - m)²); with an aim of 0, smaller is better.

    Parameters
    ----------
    factor : float, money per squared unit
        k.
    mean, sd, aim : float
        Mean and standard deviation of the parts, and the aim, all in one unit.

    Returns
    -------
    float, money per part

    >>> mean_nominal_loss(4.0, 180.0, 2.0, 180.0)
    16.0
    """
    return factor * (sd * sd + (mean - aim) ** 2)


def larger_factor(loss_at_limit: float, limit: float) -> float:
    """Factor k = A Δ² where larger is better; money times squared unit of the limit.

    >>> larger_factor(8.0, 0.5)
    2.0
    """
    return loss_at_limit * limit * limit


def larger_loss(factor: float, value: float) -> float:
    """Loss of one part where larger is better, k / y².

    >>> larger_loss(2.0, 0.5)
    8.0
    """
    return factor / (value * value)


def mean_larger_loss(factor: float, mean: float, sd: float) -> float:
    """Mean loss of many parts where larger is better, about k / ȳ² (1 + 3 s² / ȳ²).

    Parameters
    ----------
    factor : float, money times squared unit
        k.
    mean, sd : float
        Mean and standard deviation; the series is good while sd is small against the mean.

    Returns
    -------
    float, money per part

    >>> mean_larger_loss(2.0, 2.0, 0.0)
    0.5
    """
    return factor / (mean * mean) * (1.0 + 3.0 * sd * sd / (mean * mean))


def in_plant_tolerance(factor: float, cost: float) -> float:
    """Deviation past which it is cheaper to put a part right in the works than to let it go: √(cost / k).

    Parameters
    ----------
    factor : float, money per squared unit
        k, above 0.
    cost : float, money
        Cost of putting one part right.

    Returns
    -------
    float
        To either side of the aim.

    >>> in_plant_tolerance(4.0, 16.0)
    2.0
    """
    return math.sqrt(cost / factor)
