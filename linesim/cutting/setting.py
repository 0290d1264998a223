"""Setting a fresh edge: where to aim, what a first piece leaves, how a trial cut corrects.

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


@law
def trial_cut_leaves_um(gauge_um: float, step_um: float) -> float:
    """Setting error left after a trial cut and one correction: sqrt(gauge**2 + step**2 / 12).

    Parameters
    ----------
    gauge_um, step_um : float, µm
        Standard deviation of the reading; step of the adjustment.

    Returns
    -------
    float, µm

    >>> round(trial_cut_leaves_um(1.5, 2.0), 4)
    1.6073
    """
    return math.sqrt(gauge_um * gauge_um + step_um * step_um / 12.0)


@law
def aim_of_unlike_costs_um(scatter_um: float, limit_um: float, over_cost: float, under_cost: float) -> float:
    """Best aim where a part too large and one too small cost unlike sums: (s**2 / 2T) ln(c_under / c_over).

    Parameters
    ----------
    scatter_um, limit_um : float, µm
        Standard deviation of parts; limits at plus and minus this, above 0.
    over_cost, under_cost : float
        Money for each part over the upper and under the lower limit, above 0.

    Returns
    -------
    float, µm

    >>> round(aim_of_unlike_costs_um(3.0, 8.0, 470.0, 10.0), 4)
    -2.1657
    """
    return scatter_um * scatter_um / (2.0 * limit_um) * math.log(under_cost / over_cost)
