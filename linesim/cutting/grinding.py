"""Grinding wheels: dressing, wear and the speed that must not be passed.

The speed limit here is arithmetic for planning. The speed marked on the wheel, the machine maker's instructions and
the rules of the place (29 CFR 1910.215, ANSI B7.1, EN 12413) decide; a wheel is inspected and ring-tested before it
is mounted, and by a person trained and appointed for it.
"""

from __future__ import annotations

import math

from linesim.law import law


@law
def dressing_width_mm(diamond_radius_mm: float, dressing_depth_mm: float) -> float:
    """Active width of a single-point dresser: 2 sqrt(2 r a_d - a_d**2).

    Parameters
    ----------
    diamond_radius_mm : float, mm
        Radius r of the diamond's tip.
    dressing_depth_mm : float, mm
        Depth a_d per pass, 0 to r.

    Returns
    -------
    float, mm

    Notes
    -----
    Source: chord of a circle; *Modern Grinding Technology*, dressing overlap example.

    >>> round(dressing_width_mm(0.381, 0.0254), 5)
    0.27357
    """
    return 2.0 * math.sqrt(2.0 * diamond_radius_mm * dressing_depth_mm - dressing_depth_mm * dressing_depth_mm)


@law
def dressing_overlap(width_mm: float, lead_mm_rev: float) -> float:
    """Number of times the dresser passes each place on the wheel: b_d / s_d.

    Parameters
    ----------
    width_mm : float, mm
        Active width b_d.
    lead_mm_rev : float, mm/rev
        Traverse per turn of the wheel s_d, above 0.

    Returns
    -------
    float
        About 2-3 for rough, 3-5 for medium and 6-8 for fine grinding (from memory).

    >>> dressing_overlap(0.3, 0.1) > 2.99
    True
    """
    return width_mm / lead_mm_rev


@law
def dressing_traverse_mm_min(width_mm: float, overlap: float, wheel_rpm: float) -> float:
    """Traverse rate of the dresser for a wanted overlap: b_d n / U.

    Parameters
    ----------
    width_mm : float, mm
        Active width b_d.
    overlap : float
        Wanted overlap U, above 0.
    wheel_rpm : float, rev/min
        Speed n of the wheel.

    Returns
    -------
    float, mm/min

    >>> dressing_traverse_mm_min(0.25, 2.0, 1600.0)
    200.0
    """
    return width_mm / overlap * wheel_rpm


@law
def dressed_ra_factor(lead_ratio: float, depth_ratio: float) -> float:
    """Factor on Ra when dressing lead and depth are changed: lead**(1/2) depth**(1/4).

    Parameters
    ----------
    lead_ratio, depth_ratio : float
        New over old dressing lead and dressing depth, above 0.

    Notes
    -----
    Source: S. Malkin and C. Guo, *Grinding Technology* (from memory).

    >>> dressed_ra_factor(4.0, 16.0)
    4.0
    """
    return math.sqrt(lead_ratio) * math.sqrt(math.sqrt(depth_ratio))


@law
def wheel_worn_mm3(removed_mm3: float, g_ratio: float) -> float:
    """Volume of wheel worn away while grinding a volume of metal: V / G.

    Parameters
    ----------
    removed_mm3 : float, mm3
        Metal removed.
    g_ratio : float
        Volume of metal per volume of wheel, above 0; 20-80 for conventional wheels (Tooling U-SME).

    Returns
    -------
    float, mm3

    >>> wheel_worn_mm3(1000.0, 40.0)
    25.0
    """
    return removed_mm3 / g_ratio


@law
def wheel_speed_limit_rpm(marked_speed_m_s: float, diameter_mm: float) -> float:
    """Spindle speed at which a wheel reaches the speed marked on it: 60000 v / (pi D).

    Parameters
    ----------
    marked_speed_m_s : float, m/s
        Largest operating speed marked on the wheel.
    diameter_mm : float, mm
        Diameter D of the wheel as new, the largest it will have.

    Returns
    -------
    float, rev/min
        Never to be exceeded; where the marking gives rev/min, that figure holds.

    >>> int(wheel_speed_limit_rpm(35.0, 150.0))
    4456
    """
    return 60000.0 * marked_speed_m_s / (math.pi * diameter_mm)
