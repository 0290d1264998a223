"""Dressing a wheel with a single-point diamond: how wide it cuts, how far it moves to a turn, what finish follows.

Sources: width and overlap by geometry (a worked example of the trade read, moderngrindingtechnology.com); the powers of
roughness after Malkin, *Grinding Technology* (from memory).
"""

from __future__ import annotations

import math

from linesim.law import law


@law
def dressed_width_mm(radius_mm: float, depth_mm: float) -> float:
    """Width over which the round tip of a diamond cuts the wheel: 2 sqrt(2 r a - a**2).

    Parameters
    ----------
    radius_mm : float, mm
        Of the diamond's tip.
    depth_mm : float, mm
        What one stroke takes off the wheel's radius, above 0 and below the tip's radius.

    Returns
    -------
    float, mm

    >>> round(dressed_width_mm(0.381, 0.0254), 5)
    0.27357
    """
    return 2.0 * math.sqrt(2.0 * radius_mm * depth_mm - depth_mm * depth_mm)


@law
def dressing_lead_mm(width_mm: float, overlap: float) -> float:
    """How far the diamond moves along the wheel's face for each turn of the wheel, so that its cuts overlap.

    Parameters
    ----------
    width_mm : float, mm
        See `dressed_width_mm`.
    overlap : float
        How many turns of the wheel pass any place of its face while the diamond cuts there, above 0.

    Returns
    -------
    float, mm

    >>> dressing_lead_mm(0.28, 4.0)
    0.07
    """
    return width_mm / overlap


@law
def dressed_ra_factor(lead_ratio: float, depth_ratio: float) -> float:
    """What another way of dressing makes of the freshly dressed wheel's Ra: lead**(1/2) and depth**(1/4).

    Parameters
    ----------
    lead_ratio, depth_ratio : float
        Lead and depth of the new way over those of the old one, above 0.

    Returns
    -------
    float

    >>> round(dressed_ra_factor(2.0, 1.0), 4), round(dressed_ra_factor(1.0, 2.0), 4)
    (1.4142, 1.1892)
    """
    return math.sqrt(lead_ratio) * math.sqrt(math.sqrt(depth_ratio))
