"""How well a process keeps its limits: Cp, Cpk, Cpm, the share outside, and the spread that wear adds.

Sources: ISO 22514-2 and Montgomery, *Introduction to Statistical Quality Control* (both from memory); Cpm: Chan,
Cheng and Spiring, "A new measure of process capability: Cpm", J. Quality Technology 20 (1988), 162-175 (from memory).

A limit that the drawing does not give is written as an infinity of its sign. Where both are missing there is nothing
to be capable of, and the answer is not a number. A process without any spread is infinitely capable inside its limits
and infinitely incapable outside.
"""

from __future__ import annotations

import math

__all__ = ["cp", "cpk", "cpm", "folded", "ppm_outside", "share_above", "share_below", "spread_under_drift"]


def _over_spread(distance: float, spread: float) -> float:
    """Distance over spread, with the answer for a spread of 0 and for no limit at all."""
    if math.isinf(distance) or math.isnan(distance) or math.isnan(spread):
        return math.nan
    if spread > 0.0:
        return distance / spread
    return math.copysign(math.inf, distance) if distance else math.nan


def cp(sd: float, lower: float, upper: float) -> float:
    """Room between two limits over six standard deviations: (U - L) / 6 s.

    Parameters
    ----------
    sd : float
        Standard deviation, 0 or more.
    lower, upper : float
        Limits, in the same unit; infinite where there is none.

    Returns
    -------
    float
        Not a number unless both limits are given.

    >>> cp(1.0, -4.0, 4.0)
    1.3333333333333333
    """
    return _over_spread(upper - lower, 6.0 * sd)


def cpk(mean: float, sd: float, lower: float, upper: float) -> float:
    """Room from the mean to the nearer limit over three standard deviations; one-sided where one limit is missing.

    Parameters
    ----------
    mean, sd : float
        Of the process; sd 0 or more.
    lower, upper : float
        Limits, in the same unit; infinite where there is none.

    Returns
    -------
    float
        Negative if the mean lies outside; not a number without any limit.

    >>> cpk(1.0, 1.0, -4.0, 4.0), cpk(1.0, 1.0, float("-inf"), 4.0)
    (1.0, 1.0)
    """
    return _over_spread(min(upper - mean, mean - lower), 3.0 * sd)


def cpm(mean: float, sd: float, lower: float, upper: float, aim: float) -> float:
    """Cp with the distance from the aim counted as spread: Cp / √(1 + ((ȳ - m) / s)²).

    Parameters
    ----------
    mean, sd : float
        Of the process; sd 0 or more.
    lower, upper : float
        Limits, in the same unit. With one missing, the room from the aim to the other over three root mean squares
        is meant, so that Taguchi's mean loss is (A / 9) / Cpm² either way.
    aim : float
        Size that should be made.

    Returns
    -------
    float
        Not a number without any limit.

    >>> cpm(0.0, 1.0, -4.0, 4.0, 0.0)
    1.3333333333333333
    """
    about_aim = math.hypot(sd, mean - aim)
    if math.isfinite(lower) and math.isfinite(upper):
        return _over_spread(upper - lower, 6.0 * about_aim)
    return _over_spread(min(upper - aim, aim - lower), 3.0 * about_aim)


def share_below(mean: float, sd: float, limit: float) -> float:
    """Share of a normal process below a limit, 0 to 1.

    >>> share_below(0.0, 1.0, 0.0)
    0.5
    """
    if sd <= 0.0:
        return float(mean < limit)
    return 0.5 * math.erfc((mean - limit) / (sd * math.sqrt(2.0)))


def share_above(mean: float, sd: float, limit: float) -> float:
    """Share of a normal process above a limit, 0 to 1.

    >>> share_above(0.0, 1.0, 0.0)
    0.5
    """
    return share_below(-mean, sd, -limit)


def ppm_outside(mean: float, sd: float, lower: float, upper: float) -> float:
    """Parts per million of a normal process outside its limits.

    Parameters
    ----------
    mean, sd : float
        Of the process; sd 0 or more.
    lower, upper : float
        Limits, in the same unit; infinite where there is none.

    Returns
    -------
    float, parts per million

    >>> round(ppm_outside(0.0, 1.0, -3.0, 3.0), 1)
    2699.8
    """
    return 1e6 * (share_below(mean, sd, lower) + share_above(mean, sd, upper))


def spread_under_drift(sd: float, drift: float, parts: float) -> float:
    """Standard deviation over the life of an edge whose wear moves the size by the same amount from part to part.

    Parameters
    ----------
    sd : float
        Standard deviation from part to part, 0 or more.
    drift : float
        By how much each part is off against the one before, in the same unit.
    parts : float
        Parts of one edge, 1 or more.

    Returns
    -------
    float
        √(s² + (N² - 1) d² / 12), the variance of equal steps being added (from memory).

    >>> spread_under_drift(3.0, 0.0, 50)
    3.0
    """
    return math.sqrt(sd * sd + (parts * parts - 1.0) * drift * drift / 12.0)


def folded(mean: float, sd: float) -> tuple[float, float]:
    """Mean and standard deviation of the size, sign left aside, of a normal quantity.

    Parameters
    ----------
    mean, sd : float
        Of the signed quantity; sd 0 or more.

    Returns
    -------
    tuple of two float
        In the same unit. The mean square stays as it is.

    Notes
    -----
    Source: Leone, Nelson and Nottingham, "The folded normal distribution", Technometrics 3 (1961), 543-550 (from
    memory).

    >>> folded(-3.0, 0.0)
    (3.0, 0.0)
    """
    if not sd > 0.0:
        return abs(mean), sd
    ratio = mean / sd
    size = sd * math.sqrt(2.0 / math.pi) * math.exp(-0.5 * ratio * ratio) + mean * math.erf(ratio / math.sqrt(2.0))
    return size, math.sqrt(max(mean * mean + sd * sd - size * size, 0.0))
