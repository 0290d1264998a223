"""A gauge between two masterings: how it wanders off at random, and by how much it is off in the mean.

Sources: exact arithmetic, derived. That a gauge wanders as a random walk does, its variance in proportion to the time
since it was mastered, is an assumption; no open series of readings of a master were found.
"""

from __future__ import annotations

import math

from linesim.law import law

__all__ = ["drift_square_um2", "walk_square_um2", "walked_um"]


@law
def walked_um(before_um: float, wanders_um: float, hours: float, normal: float) -> float:
    """How far a gauge has wandered off at a reading.

    Parameters
    ----------
    before_um : float, µm
        As it was at the reading before; 0 once it is mastered.
    wanders_um : float, µm
        Standard deviation of the walk after one hour, 0 or more.
    hours : float
        Since the reading before, or the mastering, 0 or more.
    normal : float
        A standard normal number.

    Returns
    -------
    float, µm

    >>> walked_um(1.0, 2.0, 0.25, -1.0)
    0.0
    """
    return before_um + wanders_um * math.sqrt(hours) * normal


@law
def drift_square_um2(per_hour_um: float, hours: float) -> float:
    """Mean square of a steady drift from one mastering to the next, that is b^2 H^2 / 3, µm².

    Parameters
    ----------
    per_hour_um : float, µm
        Drift b in one hour.
    hours : float
        From mastering to mastering, H, 0 or more.

    >>> round(drift_square_um2(0.5, 4.0), 5)
    1.33333
    """
    return per_hour_um * per_hour_um * hours * hours / 3.0


@law
def walk_square_um2(wanders_um: float, hours: float) -> float:
    """Mean square of a walk at random from one mastering to the next, that is v H / 2, µm².

    Parameters
    ----------
    wanders_um : float, µm
        Standard deviation after one hour; its square is the variance v per hour.
    hours : float
        From mastering to mastering, H, 0 or more.

    >>> walk_square_um2(1.0, 4.0)
    2.0
    """
    return wanders_um * wanders_um * hours / 2.0
