"""How many weeks it takes to see a difference: weeks before the trial against weeks of it, unpaired, as shops see them.

Source: power of the two-sided t test of two samples of equal size, by the noncentral t distribution; J. Cohen,
Statistical Power Analysis for the Behavioral Sciences, 2nd ed. (1988), chapter 2 (from memory).
"""

from __future__ import annotations

import math

from scipy import stats

__all__ = ["LONGEST", "POWER", "power_of_weeks", "weeks_to_see"]

POWER = 0.8
"""Chance to see a difference that is there."""
LONGEST = 520
"""Weeks beyond which nobody counts."""


def power_of_weeks(weeks: int, difference: float, scatter: float, confidence: float = 0.95) -> float:
    """Chance that so many weeks before against as many weeks of the trial show a difference.

    Parameters
    ----------
    weeks : int
        Of each, 2 or more; with fewer nothing can be seen.
    difference : float
        That is there.
    scatter : float
        Standard deviation of one week about the mean of its kind.
    confidence : float
        Of the verdict.

    >>> round(power_of_weeks(17, 1.0, 1.0), 3)
    0.807
    """
    if weeks < 2:
        return 0.0
    if scatter <= 0.0:
        return 1.0 if difference else 0.0
    freedom, shift = 2 * (weeks - 1), abs(difference) / scatter * math.sqrt(weeks / 2.0)
    limit = float(stats.t.ppf(0.5 + 0.5 * confidence, freedom))
    above, below = stats.nct.sf(limit, freedom, shift), stats.nct.cdf(-limit, freedom, shift)
    power = float(above) + (float(below) if math.isfinite(below) else 0.0)
    return power if math.isfinite(power) else 1.0


def weeks_to_see(difference: float, scatter: float, confidence: float = 0.95, power: float = POWER) -> int | None:
    """Weeks of each kind with which a difference is seen with that chance; None beyond ten years.

    >>> weeks_to_see(1.0, 1.0), weeks_to_see(0.01, 1.0)
    (17, None)
    """
    low, high = 1, LONGEST
    if power_of_weeks(high, difference, scatter, confidence) < power:
        return None
    while high - low > 1:
        middle = (low + high) // 2
        if power_of_weeks(middle, difference, scatter, confidence) >= power:
            high = middle
        else:
            low = middle
    return high
