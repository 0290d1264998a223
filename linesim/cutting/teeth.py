"""Roughness that a face mill leaves with its teeth as they stand: run-out, round noses or a parallel land, torn iron.

The teeth of a mill do not stand in one plane. The one or two that stand out make the marks, so that the pattern is
that of the feed of a revolution and not of a tooth, and a rough mill of many pressed inserts leaves a rough face.

Sources: geometry, fitted to simulated envelopes of parabolas (derived; within 5 % to 25 % as said below); one tooth
makes the dominant mark: Tungaloy catalogue 2020-21 p. L061 and Sandvik Coromant on milled surfaces (read); floor of
iron, tilt of a land and the weak exponent of depth: assumptions within what shops report.
"""

from __future__ import annotations

import math

from linesim.cutting.surface import theoretical_ra_um, theoretical_rt_um
from linesim.law import law

_RANGE_OF_NORMALS = (
    (2.0, 1.128), (3.0, 1.693), (4.0, 2.059), (5.0, 2.326), (6.0, 2.534), (8.0, 2.847), (10.0, 3.078),
    (12.0, 3.258), (16.0, 3.532), (20.0, 3.735), (25.0, 3.931),
)  # fmt: skip
"""Mean range of so many standard normals, d2 of control charts (ISO 7870-2 and any table of them)."""


@law
def mean_range(teeth: float) -> float:
    """Mean range of so many standard normals, between the tabled numbers by straight lines.

    Parameters
    ----------
    teeth : float
        How many, 2 or more; beyond 25 the last table value is kept.

    Returns
    -------
    float

    >>> mean_range(12.0)
    3.258
    """
    before_n, before = _RANGE_OF_NORMALS[0]
    for n, value in _RANGE_OF_NORMALS:
        if teeth <= n:
            share = 0.0 if n == before_n else (teeth - before_n) / (n - before_n)
            return before + share * (value - before)
        before_n, before = n, value
    return before


@law
def spread_of_teeth_um(run_out_um: float, teeth: float) -> float:
    """Standard deviation of the heights of a mill's teeth, from the total run-out of all of them.

    Parameters
    ----------
    run_out_um : float, µm
        Axial run-out (TIR) of the mounted cutter, 0 or more.
    teeth : float
        Number of teeth; with one tooth there is no spread.

    Returns
    -------
    float, µm

    >>> round(spread_of_teeth_um(50.0, 12.0), 3)
    15.347
    """
    return run_out_um / mean_range(teeth) if teeth >= 2.0 else 0.0


@law
def round_teeth_run_out_ra_um(feed_mm_tooth: float, nose_radius_mm: float, spread_um: float) -> float:
    """What the spread of round-nosed teeth adds to Ra, in root of squares: k s, k = 0.68 / (1 + 0.27 (s/u)^0.75).

    Parameters
    ----------
    feed_mm_tooth, nose_radius_mm : float, mm
        Feed of a tooth and nose radius; both above 0. u = fz**2 / r.
    spread_um : float, µm
        See `spread_of_teeth_um`.

    Returns
    -------
    float, µm
        Within 5 % of simulated cutters of 12 teeth for s/u of 0.1 to 3; up to 23 % high with 8 teeth at s/u of 3.
    """
    cusp_um = 1000.0 * feed_mm_tooth * feed_mm_tooth / nose_radius_mm
    return float(0.68 / (1.0 + 0.27 * math.pow(spread_um / cusp_um, 0.75)) * spread_um)


@law
def milled_ra_round_um(feed_mm_tooth: float, nose_radius_mm: float, teeth: float, spread_um: float) -> float:
    """Kinematic Ra of a mill with round noses, its teeth spread: at most that of one tooth cutting alone.

    Parameters
    ----------
    feed_mm_tooth, nose_radius_mm, teeth, spread_um : float
        As for `round_teeth_run_out_ra_um`; teeth 1 or more.

    Returns
    -------
    float, µm

    >>> round(milled_ra_round_um(0.12, 0.8, 8.0, 0.0), 5)
    0.57735
    """
    cusp_ra = theoretical_ra_um(feed_mm_tooth, nose_radius_mm)
    added = round_teeth_run_out_ra_um(feed_mm_tooth, nose_radius_mm, spread_um)
    return min(math.sqrt(cusp_ra * cusp_ra + added * added), teeth * teeth * cusp_ra)


@law
def milled_ra_land_um(
    feed_mm_rev: float, nose_radius_mm: float, land_mm: float, tilt_mrad: float, spread_um: float
) -> float:
    """Kinematic Ra of a mill whose lowest tooth has a parallel land (a wiper).

    Parameters
    ----------
    feed_mm_rev : float, mm
        Feed of one revolution, f.
    nose_radius_mm, land_mm : float, mm
        Nose radius r; length of the land b, above 0.
    tilt_mrad : float, mrad
        Mean tilt of the land to the face, t.
    spread_um : float, µm
        Of the teeth, see `spread_of_teeth_um`.

    Returns
    -------
    float, µm
        hypot(f t / 4, 2 q (1 - q) min(s / 2, w**2 / (24 r))), w = max(0, f - b), q = w / f; good to a third. Where q
        is over 0.6 the land no longer makes the face: use `milled_ra_round_um`.

    >>> round(milled_ra_land_um(0.96, 1.2, 1.4, 0.8, 3.0), 3)
    0.192
    """
    beyond_mm = max(0.0, feed_mm_rev - land_mm)
    share = beyond_mm / feed_mm_rev
    step_um = min(0.5 * spread_um, 1000.0 * beyond_mm * beyond_mm / (24.0 * nose_radius_mm))
    return math.hypot(feed_mm_rev * tilt_mrad / 4.0, 2.0 * share * (1.0 - share) * step_um)


@law
def is_land_wide_enough(feed_mm_rev: float, land_mm: float) -> bool:
    """Whether a land still makes the face: the part of a revolution beyond it is at most 0.6.

    Parameters
    ----------
    feed_mm_rev, land_mm : float, mm
    """
    return land_mm > 0.0 and feed_mm_rev - land_mm <= 0.6 * feed_mm_rev


@law
def depth_factor(depth_mm: float, exponent: float) -> float:
    """Weak rise of roughness with depth: max(1, a / 0.5 mm) ** x.

    Parameters
    ----------
    depth_mm : float, mm
    exponent : float
        x; 0.15 for milling, 0.3 for boring and turning (published fits lie between 0 and 0.4; an assumption for iron).

    Returns
    -------
    float
    """
    return float(max(1.0, depth_mm / 0.5) ** exponent)


@law
def iron_ra_um(cusp_ra_um: float, run_out_ra_um: float, floor_um: float, factor: float) -> float:
    """Ra in iron of a sharp cutter with round noses: cusps, run-out and torn graphite in root of sum of squares.

    Parameters
    ----------
    cusp_ra_um : float, µm
        Of the teeth as if all cut alike, times what the material makes of it (1.25 for iron, 1 where a land cuts).
    run_out_ra_um : float, µm
        What run-out adds.
    floor_um : float, µm
        Open graphite: 0.8 in milling, 0.5 in boring (assumed within 0.6 to 1.0 and 0.4 to 0.6 from trade knowledge).
    factor : float
        Of depth, see `depth_factor`.

    Returns
    -------
    float, µm

    >>> round(iron_ra_um(3.0, 4.0, 0.0, 1.0), 1)
    5.0
    """
    return math.sqrt(cusp_ra_um * cusp_ra_um + run_out_ra_um * run_out_ra_um + floor_um * floor_um) * factor


@law
def torn_layer_um(roughness_um: float) -> float:
    """How far down the metal is torn below a surface of this roughness, µm: five times its Ra (assumed).

    >>> torn_layer_um(5.0)
    25.0
    """
    return 5.0 * roughness_um


@law
def torn_share_left(metal_um: float, roughness_um: float) -> float:
    """Share of a torn layer that a cut leaves: the layer reaches down five times the roughness that the place carries.

    Parameters
    ----------
    metal_um : float, µm
        Metal that the cut finds and takes, above 0.
    roughness_um : float, µm
        Ra of the place before.

    Returns
    -------
    float
        0 where the layer is cut away whole, up to 1. The roughness after is at least this share of the one before.
        Assumed in its form; that flakes torn out in roughing must be cut below is trade knowledge.

    >>> torn_share_left(25.0, 5.0)
    0.0
    """
    layer_um = torn_layer_um(roughness_um)
    return 0.0 if metal_um >= layer_um else 1.0 - metal_um / layer_um


@law
def thin_chip_rt_um(feed_mm: float, nose_radius_mm: float, least_chip_mm: float) -> float:
    """Peak-to-valley height with Brammertz's term for chips thinner than the edge can cut.

    Parameters
    ----------
    feed_mm, nose_radius_mm : float, mm
    least_chip_mm : float, mm
        h_min, see `linesim.cutting.nose.least_chip_mm`.

    Returns
    -------
    float, µm
        1000 (f**2 / (8 r) + h/2 (1 + h r / f**2)). Source: Brammertz 1961, from memory; arithmetic checked. A finer
        feed stops paying where f**2 is less than h r.

    >>> round(thin_chip_rt_um(0.1, 0.8, 0.005), 4)
    5.0625
    """
    thin_mm = 0.5 * least_chip_mm * (1.0 + least_chip_mm * nose_radius_mm / (feed_mm * feed_mm))
    return 1000.0 * (feed_mm * feed_mm / (8.0 * nose_radius_mm) + thin_mm)


@law
def thin_chip_ra_um(feed_mm: float, nose_radius_mm: float, least_chip_mm: float) -> float:
    """Ra with the ridge that chips too thin to be cut leave on each cusp.

    Parameters
    ----------
    feed_mm, nose_radius_mm, least_chip_mm : float, mm
        As for `thin_chip_rt_um`.

    Returns
    -------
    float, µm
        Ideal Ra + q R / sqrt(3). The ridge is as high as what Brammertz adds to the peak-to-valley height (R) and as
        wide as the chip is thin there, a share q = h r / f**2 of the feed, up to the whole. Its area lifts the mean
        line, above which 1 - 1/sqrt(3) of a parabola lies (derived). At f 0.22, r 0.8 and h 0.009 mm it is 1.23 times
        the ideal, close to the 1.25 that is usual in iron.

    >>> round(thin_chip_ra_um(0.22, 0.8, 0.009) / theoretical_ra_um(0.22, 0.8), 2)
    1.23
    """
    ideal_um = theoretical_ra_um(feed_mm, nose_radius_mm)
    ridge_um = thin_chip_rt_um(feed_mm, nose_radius_mm, least_chip_mm) - theoretical_rt_um(feed_mm, nose_radius_mm)
    share = least_chip_mm * nose_radius_mm / (feed_mm * feed_mm)
    # Where the chip is thin all along the feed, the ridge is as high as the thinnest chip, and no more.
    return ideal_um + min(share * ridge_um, 1000.0 * least_chip_mm) / math.sqrt(3.0)
