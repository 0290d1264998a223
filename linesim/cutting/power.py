"""Power and torque at the spindle for milling, boring, drilling and reaming."""

from __future__ import annotations

import math

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
def annulus_torque_nm(specific_n_mm2: float, feed_mm_rev: float, diameter_mm: float, hole_diameter_mm: float) -> float:
    """Torque of a drill, core drill or reamer: kc f (D**2 - d**2) / 8000.

    Parameters
    ----------
    specific_n_mm2 : float, N/mm2
        Specific force kc.
    feed_mm_rev : float, mm/rev
        Feed f.
    diameter_mm, hole_diameter_mm : float, mm
        Diameter D of the tool and d of the hole it finds; d = 0 for drilling into the solid.

    Returns
    -------
    float, N m

    Notes
    -----
    Source: Sandvik Coromant drilling formulas (from memory) for d = 0; the annulus is derived.

    >>> annulus_torque_nm(2000.0, 0.2, 20.0, 0.0)
    20.0
    """
    area_mm2 = diameter_mm * diameter_mm - hole_diameter_mm * hole_diameter_mm
    return specific_n_mm2 * feed_mm_rev * area_mm2 / 8000.0


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


@law
def power_from_energy_kw(removal_cm3_min: float, energy_j_mm3: float, efficiency: float) -> float:
    """Power from the energy to remove a volume: Q e / (60 eta).

    Parameters
    ----------
    removal_cm3_min : float, cm3/min
        Metal removed Q.
    energy_j_mm3 : float, J/mm3
        Specific energy e (also written W s/mm3); kc in N/mm2 divided by 1000.
    efficiency : float
        eta of the drive, above 0 to 1.

    Returns
    -------
    float, kW

    Notes
    -----
    Source: Kalpakjian and Schmid, *Manufacturing Engineering and Technology*, machining chapters.

    >>> power_from_energy_kw(60.0, 5.0, 1.0)
    5.0
    """
    return removal_cm3_min * energy_j_mm3 / (60.0 * efficiency)


@law
def torque_nm(power_kw: float, spindle_rpm: float) -> float:
    """Torque at a spindle: 9549.3 P / n.

    Parameters
    ----------
    power_kw : float, kW
        Power P at the spindle.
    spindle_rpm : float, rev/min
        Spindle speed n, above 0.

    Returns
    -------
    float, N m

    >>> round(torque_nm(1.0, 9549.2966), 6)
    1.0
    """
    return 30000.0 * power_kw / (math.pi * spindle_rpm)
