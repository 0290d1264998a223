"""Setting a fresh edge: where to aim, and how it comes to stand.

Aim is not target. The edge recedes and is pushed away as it wears, so that the best constant offset is the mean of
that drift over the planned interval: the loss falls from the mean square to the variance.

Sources: exact arithmetic, derived; Jeang and Yang 1992 choose setting and cycle together (abstract read); setting
errors of presetters, bars and seats are from memory.
"""

from __future__ import annotations

import math

from linesim.cutting.life import wear_growth
from linesim.law import law


@law
def mean_growth(life_share: float, wear_b: float, wear_tau: float, wear_gamma: float) -> float:
    """Mean of the wear curve g over an edge's use, from sharp to a life share.

    Parameters
    ----------
    life_share : float
        To which the edge is used, above 0.
    wear_b, wear_tau, wear_gamma : float
        Wear curve, see `linesim.cutting.life.wear_growth`.

    Returns
    -------
    float
        Closed form of the integral of g over w, divided by w.

    >>> round(mean_growth(1.0, 0.32, 0.057, 1.4), 4)
    0.5851
    """
    whole = 1.0 - math.exp(-1.0 / wear_tau)
    broken_in = wear_b * (life_share - wear_tau * (1.0 - math.exp(-life_share / wear_tau))) / whole
    steady = (1.0 - wear_b) * life_share ** (wear_gamma + 1.0) / (wear_gamma + 1.0)
    return float((broken_in + steady) / life_share)


@law
def mean_growth_met(life_share: float, cuts: float, wear_b: float, wear_tau: float, wear_gamma: float) -> float:
    """Mean of the wear curve g over so many cuts of equal length, each met at its beginning.

    Parameters
    ----------
    life_share : float
        To which the edge is used, above 0.
    cuts : float
        Cuts until then, 1 or more; infinite for the mean over time.
    wear_b, wear_tau, wear_gamma : float
        Wear curve, see `linesim.cutting.life.wear_growth`.

    Returns
    -------
    float
        The integral's mean less half a step, which is exact for a curve that is a straight line: (cuts - 1) / 2 steps.

    >>> round(mean_growth_met(20.0, 200.0, 0.0, 1.0, 1.0), 4)
    9.95
    """
    if cuts <= 1.0:
        return 0.0
    last = wear_growth(life_share, wear_b, wear_tau, wear_gamma)
    return max(mean_growth(life_share, wear_b, wear_tau, wear_gamma) - last / (2.0 * cuts), 0.0)


@law
def setting_um(error_um: float, bias_um: float, normal: float) -> float:
    """How much deeper than meant a fresh edge stands, µm: the bias and a share of chance that one change has."""
    return bias_um + error_um * normal
