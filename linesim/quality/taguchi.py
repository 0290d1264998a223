"""Quality loss after Taguchi: a part costs more the further it is from its aim, not only past the limit.

Nominal is best: L = k (y - m)², k = A / Δ². Smaller is better: the same with m = 0. Larger is better: L = k / y²,
k = A Δ². A is the loss of a part that lies just at the limit Δ. Source: Taguchi, Elsayed and Hsiang, *Quality
Engineering in Production Systems*, McGraw-Hill 1989; Phadke, *Quality Engineering Using Robust Design*,
Prentice Hall 1989 (both from memory).
"""

from __future__ import annotations

import math

__all__ = [
    "in_plant_tolerance",
    "larger_factor",
    "larger_loss",
    "mean_larger_loss",
    "mean_nominal_loss",
    "nominal_factor",
    "nominal_loss",
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
