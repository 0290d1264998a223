"""Breaking by chip load, as the tooth that stands out takes more than its share; and by what sits in a casting's skin.

Sources: the load of the tooth is geometry; that the strength of an edge falls as a power of its load (chipping as
fatigue), with an exponent of 2 to 4, is an assumption, as no figures for grey iron were found. How often a tooth hits
sand or a hard spot, and what a hit does, is assumed as well; the chance over many teeth and parts is exact.
"""

from __future__ import annotations

import math

from linesim.cutting.life import share_of_growth, wear_growth
from linesim.law import law


@law
def tooth_load(run_out_mm: float, feed_mm: float) -> float:
    """Chip load of the tooth that stands out over that of a tooth of a true cutter: 1 + run-out / feed.

    Parameters
    ----------
    run_out_mm : float, mm
        By how much the tooth stands out, 0 or more.
    feed_mm : float, mm
        Feed per tooth, above 0.

    >>> round(tooth_load(0.05, 0.13), 4)
    1.3846
    """
    return 1.0 + run_out_mm / feed_mm


@law
def break_scale_factor(load: float, exponent: float) -> float:
    """Life share at which edges break over that at the reference load: load to the power -m.

    Parameters
    ----------
    load : float
        Chip load of the tooth that stands out over the reference load, above 0.
    exponent : float
        m, 2 to 4 (assumed); 0 where the load does not matter.

    >>> round(break_scale_factor(1.3846, 3.0), 5)
    0.37673
    """
    return math.pow(load, -exponent)


@law
def hit_chance(per_tooth: float, teeth: float, parts: float) -> float:
    """Chance that a cutter hits at least one spot of sand in so many parts: 1 - exp(-p z N).

    Parameters
    ----------
    per_tooth : float
        Hits of one tooth in one part on average, 0 or more.
    teeth, parts : float
        0 or more.

    Returns
    -------
    float
        Exact where spots lie by chance (Poisson); how many one tooth hits is assumed.

    >>> round(hit_chance(0.0005, 12.0, 40.0), 5)
    0.21337
    """
    return 1.0 - math.exp(-per_tooth * teeth * parts)


@law
def share_when_hit(
    life_share: float, land_mm: float, wear_limit_mm: float, wear_b: float, wear_tau: float, wear_gamma: float
) -> float:
    """Life share of an edge of which a hit has chipped so much land: what it would be had that land worn.

    Parameters
    ----------
    life_share : float
        Before the hit.
    land_mm, wear_limit_mm : float, mm
        What the hit adds, 0 or more; the limit of the land.
    wear_b, wear_tau, wear_gamma : float
        Wear curve, see `linesim.cutting.life.wear_growth`.

    Returns
    -------
    float
        No less than before.

    >>> round(share_when_hit(0.2, 0.1, 0.5, 0.0, 1.0, 1.0), 12)
    0.4
    """
    if land_mm <= 0.0:
        return life_share
    grown = wear_growth(life_share, wear_b, wear_tau, wear_gamma) + land_mm / wear_limit_mm
    return max(life_share, share_of_growth(grown, wear_b, wear_tau, wear_gamma))
