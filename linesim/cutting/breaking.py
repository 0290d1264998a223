"""Why edges break: the load on the tooth that stands out, hits in the skin, and how far past the limit a regrind pays.

Sources: chip load from geometry; strength as a power of the load (2 to 4) and the rate of hits in the casting's skin
are assumptions; extra metal for a regrind past the limit likewise.
"""

from __future__ import annotations

import math

from linesim.law import law


@law
def load_of_standing_tooth(stands_out_mm: float, feed_mm_tooth: float) -> float:
    """Chip load of the tooth that stands out over that of its neighbours: 1 + dR / f_z.

    Parameters
    ----------
    stands_out_mm, feed_mm_tooth : float, mm
        Radial run-out, 0 or more; feed, above 0.

    Returns
    -------
    float

    >>> round(load_of_standing_tooth(0.05, 0.13), 4)
    1.3846
    """
    return 1.0 + stands_out_mm / feed_mm_tooth


@law
def strength_left(load: float, exponent: float) -> float:
    """Factor on the breaking scale of an edge under a load over that of the handbook: load ** -m.

    Parameters
    ----------
    load : float
        Over the reference, above 0.
    exponent : float
        m, 2 to 4, chipping as fatigue (assumed 3).

    Returns
    -------
    float

    >>> round(strength_left(1.3846, 3.0), 3)
    0.377
    """
    return float(load**-exponent)


@law
def chance_of_a_hit(rate: float, teeth: float, parts: float) -> float:
    """Chance of at least one hit of sand or hard skin on any tooth: 1 - exp(-rate z n).

    Parameters
    ----------
    rate : float
        Hits for each tooth and part, 0.0002 to 0.002 (assumed).
    teeth, parts : float

    Returns
    -------
    float

    >>> round(chance_of_a_hit(0.0005, 12.0, 40.0), 4)
    0.2134
    """
    return 1.0 - math.exp(-rate * teeth * parts)


@law
def regrind_past_limit_mm(takes_mm: float, wear_land_mm: float, limit_mm: float, extra: float) -> float:
    """Stock that a regrind takes from an edge past its limit: as much more as the land is past it, times a factor.

    Parameters
    ----------
    takes_mm : float, mm
        Land and clean-up, see `linesim.cutting.economics.regrind_takes_mm`.
    wear_land_mm, limit_mm : float, mm
    extra : float
        c_x, 0 to 2; 1 is assumed: chips and comb cracks go deeper than the land.

    Returns
    -------
    float, mm

    >>> round(regrind_past_limit_mm(0.6, 0.5, 0.3, 1.0), 6)
    0.8
    """
    return takes_mm + extra * max(0.0, wear_land_mm - limit_mm)
