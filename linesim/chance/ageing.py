"""When a machine that ages fails next, and when it is best overhauled: failures as a power-law process.

Source: minimal repair and its best interval, Barlow and Hunter, Operations Research 8, 1960, pp. 90 to 100; repair that
gives a share of the age back, Kijima's second model, Journal of Applied Probability 26, 1989, pp. 89 to 102 (both from
memory; held to exact values in the tests).
"""

from __future__ import annotations

import math

from linesim.law import law

__all__ = ["ageing_failures", "best_overhaul_min", "to_due_min", "to_next_failure_min"]


@law
def to_next_failure_min(age_min: float, shape: float, scale_min: float, uniform: float) -> float:
    """Minutes of cutting until a machine fails next, eta ((a / eta)^beta - ln u)^(1 / beta) - a.

    Parameters
    ----------
    age_min : float, min
        a, the minutes it has cut that no repair and no overhaul has taken back, 0 or more.
    shape : float
        beta, above 0; above 1 the machine fails the more often the older it is.
    scale_min : float, min
        eta, above 0: the age by which one failure is to be expected.
    uniform : float
        Draw between 0 and 1: the chance to live longer.

    Returns
    -------
    float, min

    >>> round(to_next_failure_min(0.0, 1.8, 400.0, 0.36787944117144233), 6)
    400.0
    """
    hazard = math.pow(age_min / scale_min, shape) - math.log(uniform)
    return max(0.0, scale_min * math.pow(hazard, 1.0 / shape) - age_min)


@law
def to_due_min(every_min: float, since_min: float) -> float:
    """Minutes of cutting until an overhaul falls due, less than 0 if it has; infinite without overhauls.

    A hair less than the interval, so that an overhaul which falls due just as a part is done comes before the next one.

    Parameters
    ----------
    every_min, since_min : float, min
        From one overhaul to the next, and cut since the last one.
    """
    return every_min * (1.0 - 1e-12) - since_min


def ageing_failures(span_min: float, shape: float, scale_min: float) -> float:
    """Failures to be expected of a new machine in so many minutes of cutting if repairs leave its age, (t / eta)^beta.

    Parameters
    ----------
    span_min : float, min
        t, 0 or more.
    shape, scale_min : float
        As for `to_next_failure_min`.

    >>> round(ageing_failures(1909.26, 1.8, 400.0), 3)
    16.667
    """
    return float((span_min / scale_min) ** shape)


def best_overhaul_min(shape: float, scale_min: float, failure_cost: float, overhaul_cost: float) -> float:
    """Minutes of cutting between overhauls at which failures and overhauls cost least, if repairs leave the age.

    Parameters
    ----------
    shape, scale_min : float
        As for `to_next_failure_min`.
    failure_cost, overhaul_cost : float
        Of one failure and of one overhaul, both in money or both in minutes standing (the latter gives the highest
        availability); above 0.

    Returns
    -------
    float, min
        T* = eta (c_o / (c_f (beta - 1)))^(1 / beta); infinite where the shape is 1 or less, as nothing is gained then.

    >>> round(best_overhaul_min(1.8, 400.0, 300.0, 4000.0), 2)
    1909.26
    """
    if shape <= 1.0:
        return math.inf
    return float(scale_min * (overhaul_cost / (failure_cost * (shape - 1.0))) ** (1.0 / shape))
