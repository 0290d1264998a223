"""Motion: spindle speed, feed rate, travel, and the minutes a cut takes."""

from __future__ import annotations

import math

from linesim.law import law


@law
def spindle_speed_rpm(speed_m_min: float, diameter_mm: float) -> float:
    """Spindle speed at which a diameter moves at a cutting speed: 1000 v / (pi D).

    Parameters
    ----------
    speed_m_min : float, m/min
        Cutting speed v, 0 or more.
    diameter_mm : float, mm
        Diameter D of the cutter, or of the bore for a boring tool; above 0.

    Returns
    -------
    float, rev/min

    Notes
    -----
    Source: definition; ISO 3002-1 for the terms.

    >>> round(spindle_speed_rpm(150.0, 125.0), 2)
    381.97
    """
    return 1000.0 * speed_m_min / (math.pi * diameter_mm)


@law
def feed_rate_mm_min(feed_mm_rev: float, spindle_rpm: float) -> float:
    """Feed rate of a tool fed by the revolution (boring, drilling, reaming, turning).

    Parameters
    ----------
    feed_mm_rev : float, mm/rev
        Feed, above 0.
    spindle_rpm : float, rev/min
        Spindle speed, above 0.

    Returns
    -------
    float, mm/min

    >>> feed_rate_mm_min(0.25, 400.0)
    100.0
    """
    return feed_mm_rev * spindle_rpm


@law
def milling_feed_rate_mm_min(feed_mm_tooth: float, teeth: float, spindle_rpm: float) -> float:
    """Feed rate (table feed) of a milling cutter: feed per tooth x teeth x spindle speed.

    Parameters
    ----------
    feed_mm_tooth : float, mm/tooth
        Feed per tooth, above 0.
    teeth : float
        Number of effective teeth, 1 or more.
    spindle_rpm : float, rev/min
        Spindle speed, above 0.

    Returns
    -------
    float, mm/min

    >>> milling_feed_rate_mm_min(0.25, 8.0, 300.0)
    600.0
    """
    return feed_mm_tooth * teeth * spindle_rpm


@law
def cutting_minutes(length_mm: float, approach_mm: float, overrun_mm: float, feed_rate_mm_min: float) -> float:
    """Minutes under feed for one cut: (length + approach + overrun) / feed rate.

    Parameters
    ----------
    length_mm, approach_mm, overrun_mm : float, mm
        Length of the surface and the travel before and after it; 0 or more.
    feed_rate_mm_min : float, mm/min
        Above 0.

    Returns
    -------
    float, min

    >>> cutting_minutes(300.0, 100.0, 100.0, 800.0)
    0.625
    """
    return (length_mm + approach_mm + overrun_mm) / feed_rate_mm_min


@law
def full_face_approach_mm(diameter_mm: float) -> float:
    """Approach, and as much overrun, of a face mill that must wipe the whole surface with its back edge: D / 2.

    Parameters
    ----------
    diameter_mm : float, mm
        Diameter D of the face mill; the travel over a length L is then L + D.

    Returns
    -------
    float, mm

    >>> full_face_approach_mm(200.0)
    100.0
    """
    return 0.5 * diameter_mm


@law
def milling_engagement_rad(width_mm: float, diameter_mm: float) -> float:
    """Angle over which a tooth of a centred face mill is in the cut: 2 asin(ae / D).

    Parameters
    ----------
    width_mm : float, mm
        Width ae of the cut, 0 to D.
    diameter_mm : float, mm
        Diameter D of the cutter.

    Returns
    -------
    float, rad
        0 to pi.

    >>> round(math.degrees(milling_engagement_rad(80.0, 125.0)), 2)
    79.58
    """
    return 2.0 * math.asin(width_mm / diameter_mm)


@law
def teeth_in_cut(teeth: float, engagement_rad: float) -> float:
    """Mean number of teeth in the cut at once: z phi / (2 pi).

    Parameters
    ----------
    teeth : float
        Number of teeth z.
    engagement_rad : float, rad
        Engagement angle phi, 0 to pi.

    >>> teeth_in_cut(8.0, math.pi)
    4.0
    """
    return teeth * engagement_rad / (2.0 * math.pi)


@law
def stock_removal_minutes(stock_um: float, removal_um_min: float, spark_out_min: float) -> float:
    """Minutes of honing or grinding: stock / removal rate + spark-out.

    Parameters
    ----------
    stock_um : float, µm
        Metal to take off per side, 0 or more.
    removal_um_min : float, µm/min
        Rate at which the surface moves, per side (infeed of a wheel, growth of a honed radius); above 0.
    spark_out_min : float, min
        Minutes run without infeed at the end, 0 or more.

    Returns
    -------
    float, min

    >>> stock_removal_minutes(30.0, 40.0, 0.25)
    1.0
    """
    return stock_um / removal_um_min + spark_out_min
