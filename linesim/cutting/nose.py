"""The chip as it is at a rounded nose: edge in the cut, force, what wear adds, and the least chip an edge can cut.

A light cut runs on the nose radius. Its chip is thin, its force high for its depth and turned towards the work, and a
worn edge adds a force that hardly depends on the depth: so a finish cut suffers most from wear.

Sources: geometry after Colwell 1954 and Woxen (names from memory, formulas derived); the directions of force and the
added force of wear hold against 102 open turning tests in steel of iron's hardness (Canal and Borille, doi
10.34740/kaggle/ds/2205074: log ratio of radial to feed force +0.06, rms 0.22). Figures for iron are assumptions.
"""

from __future__ import annotations

import math

from linesim.law import law


@law
def nose_depth_mm(nose_radius_mm: float, approach_rad: float) -> float:
    """Depth up to which only the nose cuts, r (1 - cos kappa)."""
    return nose_radius_mm * (1.0 - math.cos(approach_rad))


@law
def edge_in_cut_mm(depth_mm: float, feed_mm: float, nose_radius_mm: float, approach_rad: float) -> float:
    """Length of edge in the cut, which is the width of the chip.

    Parameters
    ----------
    depth_mm, feed_mm, nose_radius_mm : float, mm
        Depth above 0; feed per revolution, or per tooth of a mill; radius 0 or more.
    approach_rad : float, rad
        Angle kappa between edge and feed; 90° for a shoulder.

    Returns
    -------
    float, mm

    >>> round(edge_in_cut_mm(2.4, 0.25, 1.2, math.pi / 2), 4)
    3.21
    """
    on_nose_mm = nose_depth_mm(nose_radius_mm, approach_rad)
    if depth_mm <= on_nose_mm:
        return nose_radius_mm * math.acos(1.0 - depth_mm / nose_radius_mm) + 0.5 * feed_mm
    beyond_mm = (depth_mm - on_nose_mm) / math.sin(approach_rad)
    return nose_radius_mm * approach_rad + beyond_mm + 0.5 * feed_mm


@law
def edge_along_feed_mm(depth_mm: float, feed_mm: float, nose_radius_mm: float, approach_rad: float) -> float:
    """Length of the edge in the cut seen along the feed, X: what a worn edge presses on the work with.

    Parameters
    ----------
    depth_mm, feed_mm, nose_radius_mm, approach_rad : float
        As for `edge_in_cut_mm`.

    Returns
    -------
    float, mm
    """
    on_nose_mm = nose_depth_mm(nose_radius_mm, approach_rad)
    if depth_mm <= on_nose_mm:
        return nose_radius_mm * math.sin(math.acos(1.0 - depth_mm / nose_radius_mm)) + 0.5 * feed_mm
    beyond_mm = (depth_mm - on_nose_mm) * math.cos(approach_rad) / math.sin(approach_rad)
    return nose_radius_mm * math.sin(approach_rad) + beyond_mm + 0.5 * feed_mm


@law
def mean_chip_mm(depth_mm: float, feed_mm: float, edge_mm: float) -> float:
    """Mean thickness of the chip, h_e = a f / L."""
    return depth_mm * feed_mm / edge_mm


@law
def effective_approach_rad(depth_mm: float, along_mm: float) -> float:
    """Effective approach angle, atan(a / X): shallow cuts turn the force towards the work."""
    return math.atan2(depth_mm, along_mm)


@law
def force_towards_work_n(cutting_force_n: float, ratio: float, approach_rad: float) -> float:
    """Force at right angles to the feed, into the work: rho F_c cos kappa_e; the feed force takes the sine."""
    return ratio * cutting_force_n * math.cos(approach_rad)


@law
def least_slope_n_um(specific_n_mm2: float, chip_mm: float) -> float:
    """Least rise of that force with depth, 0.1 kc h: a straight edge at 90° is inclined, and pushes a little (assumed).

    Parameters
    ----------
    specific_n_mm2 : float, N/mm²
        Specific force kc at this chip.
    chip_mm : float, mm
        Mean chip thickness.

    Returns
    -------
    float, N/µm
    """
    return 0.1 * specific_n_mm2 * chip_mm / 1000.0


@law
def worn_edge_adds_n(pressure_n_mm2: float, wear_land_mm: float, length_mm: float) -> float:
    """Force that a wear land adds: p VB x length of land in that direction.

    Parameters
    ----------
    pressure_n_mm2 : float, N/mm²
        p_w, radial: 500 for iron (400 to 900, assumed; 1060 to 1170 measured in steel); p_t, tangential: 150.
    wear_land_mm : float, mm
    length_mm : float, mm
        `edge_along_feed_mm` for the radial force, the depth for the feed force, `edge_in_cut_mm` for the cutting force.

    Returns
    -------
    float, N

    >>> worn_edge_adds_n(500.0, 0.3, 0.2)
    30.0
    """
    return pressure_n_mm2 * wear_land_mm * length_mm


@law
def least_chip_mm(edge_radius_um: float, wear_land_mm: float) -> float:
    """Thinnest chip that an edge can still cut; below it the edge rubs: 0.3 (r_beta + 0.1 VB).

    Parameters
    ----------
    edge_radius_um : float, µm
        Radius of the sharp cutting edge: keen 5 to 15, coated inserts 25 to 50, ground 1 to 3.
    wear_land_mm : float, mm
        A tenth of it is added to the radius (assumed).

    Returns
    -------
    float, mm
        Sources: 0.2 to 0.4 of the edge radius after Sokolovsky, L'vov, Brammertz, Albrecht (from memory).

    >>> least_chip_mm(30.0, 0.0)
    0.009
    """
    return 0.3 * (edge_radius_um / 1000.0 + 0.1 * wear_land_mm)


@law
def least_depth_mm(least_mm: float, feed_mm: float, nose_radius_mm: float, approach_rad: float) -> float:
    """Least depth at which the mean chip is as thick as the edge needs, by halving.

    Parameters
    ----------
    least_mm : float, mm
        See `least_chip_mm`.
    feed_mm, nose_radius_mm, approach_rad : float
        As for `edge_in_cut_mm`.

    Returns
    -------
    float, mm
        At most ten millimetres, where no depth will do.
    """
    low, high = 0.0, 10.0
    for _ in range(60):
        middle = 0.5 * (low + high)
        edge_mm = edge_in_cut_mm(middle, feed_mm, nose_radius_mm, approach_rad)
        if mean_chip_mm(middle, feed_mm, edge_mm) < least_mm:
            low = middle
        else:
            high = middle
    return high
