"""Roughness that a nose radius leaves, its growth with wear, and the scratches a cut takes out.

Ra is the arithmetic mean deviation of ISO 4287:1997 and ISO 21920-2:2021. For the ideal profile of round grooves
this package takes the exact mean of the parabola, Ra = f**2 / (18 sqrt(3) r) = 0.032075 f**2 / r. Many texts print
f**2 / (32 r), which takes Ra as Rt / 4 and lies 2.6 % lower.
"""

from __future__ import annotations

import math

from linesim.law import law


@law
def theoretical_ra_um(feed_mm: float, nose_radius_mm: float) -> float:
    """Ideal mean roughness left by a round nose: 1000 f**2 / (18 sqrt(3) r).

    Parameters
    ----------
    feed_mm : float, mm
        Feed per revolution; per tooth for a face mill whose teeth all cut alike.
    nose_radius_mm : float, mm
        Nose radius r, above 0; the feed stays below 2 r.

    Returns
    -------
    float, µm

    Notes
    -----
    Source: geometry, as in the module's text; a floor rather than a forecast.

    >>> round(theoretical_ra_um(0.2, 0.8), 4)
    1.6038
    """
    return 1000.0 * feed_mm * feed_mm / (18.0 * math.sqrt(3.0) * nose_radius_mm)


@law
def theoretical_rt_um(feed_mm: float, nose_radius_mm: float) -> float:
    """Ideal peak-to-valley height left by a round nose, as a parabola: 1000 f**2 / (8 r).

    Parameters
    ----------
    feed_mm, nose_radius_mm : float, mm
        As for `theoretical_ra_um`.

    Returns
    -------
    float, µm

    >>> round(theoretical_rt_um(0.2, 0.8), 6)
    6.25
    """
    return 1000.0 * feed_mm * feed_mm / (8.0 * nose_radius_mm)


@law
def worn_ra_um(
    sharp_um: float,
    roughness_growth: float,
    wear_growth: float,
    roughness_power: float,
    roughness_past: float,
    floor_um: float,
) -> float:
    """Mean roughness left by a worn edge: sharp (1 + c_R g**q + c_2 max(0, g - 1)**2), not below the process's floor.

    Parameters
    ----------
    sharp_um : float, µm
        Ra of the sharp edge.
    roughness_growth : float
        c_R, rise by the end of life as a share; 0.6 was found in open turning tests on a stiff shaft, and the sign
        is not universal.
    wear_growth : float
        g, wear land over its limit, 0 or more.
    roughness_power : float
        q, above 0.
    roughness_past : float
        c_2, 0 or more: past the limit the edge chips, and chips print into the surface (assumed 0.5).
    floor_um : float, µm
        Finest Ra the process gives.

    Returns
    -------
    float, µm

    >>> round(worn_ra_um(1.0, 0.6, 1.0, 1.0, 0.5, 0.4), 6), worn_ra_um(1.0, 0.5, 2.0, 1.0, 0.5, 0.4)
    (1.6, 2.5)
    """
    # A power of 1 changes nothing but the time that it takes.
    grown = wear_growth if roughness_power == 1.0 else math.pow(wear_growth, roughness_power)
    past = max(0.0, wear_growth - 1.0)
    return max(floor_um, sharp_um * (1.0 + roughness_growth * grown + roughness_past * past * past))


@law
def scratch_left_um(scratch_um: float, depth_mm: float) -> float:
    """Depth of a scratch after a cut of a given depth: max(0, scratch - 1000 a).

    Parameters
    ----------
    scratch_um : float, µm
        Depth of the scratch before, 0 for none.
    depth_mm : float, mm
        Depth of cut a.

    Returns
    -------
    float, µm

    >>> scratch_left_um(30.0, 0.02)
    10.0
    """
    return max(0.0, scratch_um - 1000.0 * depth_mm)
