"""Setting a fresh edge: where to aim, and how it comes to stand.

Aim is not target. The edge recedes and is pushed away as it wears, so that the best constant offset is the mean of
that drift over the planned interval: the loss falls from the mean square to the variance.

Sources: exact arithmetic, derived; Jeang and Yang 1992 choose setting and cycle together (abstract read); setting
errors of presetters, bars and seats are from memory. A screw or a display sets whole divisions only: what is left of
them is spread evenly over one, step^2 / 12 (derived).
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
def in_steps(by_um: float, step_um: float) -> float:
    """What is put on an offset of what is meant to be, where the machine sets it in whole steps.

    Parameters
    ----------
    by_um : float, µm
        By how much it is meant to be moved.
    step_um : float, µm
        The least step, 0 or more; 0: any amount can be set.

    Returns
    -------
    float, µm
        The nearest whole number of steps; from half a step on the next one further from 0.

    >>> in_steps(2.9, 2.0), in_steps(3.0, 2.0), in_steps(-0.7, 0.5)
    (2.0, 4.0, -0.5)
    """
    if step_um == 0.0:
        return by_um
    size_um = math.floor(abs(by_um) / step_um + 0.5) * step_um
    return size_um if by_um > 0.0 else -size_um


@law
def left_after_trial_um(gauge_um: float, step_um: float) -> float:
    """How far an edge stands from where it was meant to, after a trial cut, a reading and a correction.

    Parameters
    ----------
    gauge_um : float, µm
        Standard deviation of the reading about where the edge truly stands.
    step_um : float, µm
        Least step of an offset, 0 or more.

    Returns
    -------
    float, µm
        Root of the mean square: the error of the reading and what is left of whole steps (derived; exact where edges
        are set off by several steps before).

    >>> round(left_after_trial_um(1.5, 2.0), 4)
    1.6073
    """
    return math.sqrt(gauge_um * gauge_um + step_um * step_um / 12.0)


@law
def left_alone_um(band_um: float, step_um: float, share: float) -> float:
    """Up to which error read an offset stays as it is, µm: the band that is left alone, or what rounds to no step.

    ``share`` of the error read is put on the offset, 0 or more; of 0 nothing is left of any step.

    >>> left_alone_um(0.0, 2.0, 0.5), left_alone_um(3.0, 2.0, 1.0)
    (2.0, 3.0)
    """
    if step_um == 0.0:
        return band_um
    return max(band_um, 0.5 * step_um / share) if share > 0.0 else math.inf
