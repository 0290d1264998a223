"""Power and torque at the spindle for milling, boring, drilling and reaming."""

from __future__ import annotations

from linesim.law import law


@law
def milling_power_kw(
    depth_mm: float, width_mm: float, feed_rate_mm_min: float, specific_n_mm2: float, efficiency: float
) -> float:
    """Power in milling: ap ae vf kc / (60e6 eta).

    Parameters
    ----------
    depth_mm, width_mm : float, mm
        Depth ap and width ae of the cut.
    feed_rate_mm_min : float, mm/min
        Feed rate vf.
    specific_n_mm2 : float, N/mm2
        Specific force kc at the mean chip thickness.
    efficiency : float
        eta of the drive, above 0 to 1; 1 gives the power at the cutter.

    Returns
    -------
    float, kW

    Notes
    -----
    Source: Mitsubishi Materials, Dormer Pramet and Palbit milling catalogues.

    >>> round(milling_power_kw(2.0, 80.0, 280.0, 1800.0, 0.8), 2)
    1.68
    """
    return depth_mm * width_mm * feed_rate_mm_min * specific_n_mm2 / (60.0e6 * efficiency)


@law
def turning_power_kw(
    speed_m_min: float, depth_mm: float, feed_mm_rev: float, specific_n_mm2: float, efficiency: float
) -> float:
    """Power in turning and boring with one edge: v ap f kc / (60e3 eta).

    Parameters
    ----------
    speed_m_min : float, m/min
        Cutting speed v.
    depth_mm : float, mm
        Depth ap per side.
    feed_mm_rev : float, mm/rev
        Feed f.
    specific_n_mm2 : float, N/mm2
        Specific force kc.
    efficiency : float
        eta of the drive, above 0 to 1.

    Returns
    -------
    float, kW

    Notes
    -----
    Source: insert makers' rule (from memory); it is v F_c.

    >>> round(turning_power_kw(120.0, 3.0, 0.2, 3100.0, 0.8), 2)
    4.65
    """
    return speed_m_min * depth_mm * feed_mm_rev * specific_n_mm2 / (60.0e3 * efficiency)


@law
def drilling_power_kw(
    specific_n_mm2: float,
    speed_m_min: float,
    feed_mm_rev: float,
    diameter_mm: float,
    hole_diameter_mm: float,
    efficiency: float,
) -> float:
    """Power in drilling (d = 0) and reaming: kc v f (D**2 - d**2) / (240e3 D eta).

    Parameters
    ----------
    specific_n_mm2 : float, N/mm2
        Specific force kc.
    speed_m_min : float, m/min
        Cutting speed at the diameter D.
    feed_mm_rev : float, mm/rev
        Feed f.
    diameter_mm, hole_diameter_mm : float, mm
        Diameter D of the tool and d of the hole it finds.
    efficiency : float
        eta of the drive, above 0 to 1.

    Returns
    -------
    float, kW

    Notes
    -----
    Source: Sandvik Coromant drilling formulas (from memory) for d = 0; the annulus is derived.

    >>> round(drilling_power_kw(2400.0, 100.0, 0.1, 10.0, 0.0, 1.0), 6)
    1.0
    """
    area_mm2 = diameter_mm * diameter_mm - hole_diameter_mm * hole_diameter_mm
    return specific_n_mm2 * speed_m_min * feed_mm_rev * area_mm2 / (240.0e3 * diameter_mm * efficiency)
