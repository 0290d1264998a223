"""Life of an edge and the growth of its wear land."""

from __future__ import annotations

import math

from linesim.chance import lognormal_value, normal_from_uniform
from linesim.law import law

MOST_LIVES = 1000.0
"""Life share at which a search for one ends: no edge is run so far."""

_HALVINGS = 60
"""Of that range: finer than the numbers themselves."""

UNIFORM_LAND_MM = 0.3
"""Mean flank wear at which an edge is worn: VB_B of ISO 3685:1993 (carbide, ceramic) and VB1 of ISO 8688-1:1989 and
8688-2:1989; from memory."""

TURNING_PEAK_MM = 0.6
"""Largest flank wear of an irregular land, VB_B max of ISO 3685:1993; from memory."""

MILLING_PEAK_MM = 0.5
"""Largest local flank wear on any tooth, VB3 of ISO 8688-1:1989 and 8688-2:1989; from memory."""


@law
def extended_taylor_life_min(
    speed_m_min: float,
    feed_mm: float,
    depth_mm: float,
    ref_life_min: float,
    ref_speed_m_min: float,
    ref_feed_mm: float,
    ref_depth_mm: float,
    n: float,
    p: float,
    q: float,
    skin_factor: float,
) -> float:
    """Life by Taylor's law extended in feed and depth, from a known reference life.

    T = T_ref (v / v_ref)**(-1/n) (f / f_ref)**(-p) (a / a_ref)**(-q) x skin factor.

    Parameters
    ----------
    speed_m_min, feed_mm, depth_mm : float
        Conditions of the cut: m/min, mm per revolution or per tooth as the reference, mm.
    ref_life_min, ref_speed_m_min, ref_feed_mm, ref_depth_mm : float
        A life and the conditions at which it was found.
    n : float
        Taylor's exponent of speed.
    p, q : float
        Exponents of life against feed and depth, 0 or more; usually 1/n > p > q, though not in every data set.
    skin_factor : float
        1 in sound metal, less where the cut runs in the skin of a casting.

    Returns
    -------
    float, min

    Notes
    -----
    Source: F. W. Taylor, "On the Art of Cutting Metals", Trans. ASME 28 (1907), 31-350; Kalpakjian and Schmid,
    *Manufacturing Engineering and Technology*, in the form v T**n f**x a**y = C, whose x / n is p and y / n is q.

    >>> extended_taylor_life_min(200.0, 0.4, 2.0, 32.0, 100.0, 0.2, 1.0, 0.5, 1.0, 1.0, 0.5)
    1.0
    """
    for_speed = math.pow(speed_m_min / ref_speed_m_min, -1.0 / n)
    for_feed = math.pow(feed_mm / ref_feed_mm, -p)
    for_depth = math.pow(depth_mm / ref_depth_mm, -q)
    return ref_life_min * for_speed * for_feed * for_depth * skin_factor


@law
def wear_growth(life_share: float, wear_b: float, wear_tau: float, wear_gamma: float) -> float:
    """Wear land over its limit, g(w) = b (1 - exp(-w / tau)) + [1 - b (1 - exp(-1 / tau))] w**gamma.

    Parameters
    ----------
    life_share : float
        w, cutting minutes since sharp over the life of the edge; 0 or more, and above 1 when run dull.
    wear_b : float
        Share of the limit worn in while breaking in, 0 to 1.
    wear_tau : float
        Life share over which the break-in dies out, above 0.
    wear_gamma : float
        Power of the steady and accelerating part, 1 or more.

    Returns
    -------
    float
        0 at w = 0, 1 at w = 1, rising throughout.

    Notes
    -----
    The three zones are those of ISO 3685:1993, annex C. The form is this project's own; the values in the handbook
    were fitted to open milling tests.

    >>> wear_growth(1.0, 0.32, 0.057, 1.4)
    1.0
    """
    return wear_growth_after(life_share, break_in_share(1.0, wear_b, wear_tau), wear_b, wear_tau, wear_gamma)


@law
def break_in_share(life_share: float, wear_b: float, wear_tau: float) -> float:
    """Part of the wear land, over its limit, that is due to breaking in: b (1 - exp(-w / tau)).

    Parameters
    ----------
    life_share, wear_b, wear_tau : float
        As for `wear_growth`.

    >>> break_in_share(0.0, 0.32, 0.057)
    0.0
    """
    return wear_b * (1.0 - math.exp(-life_share / wear_tau))


@law
def wear_growth_after(
    life_share: float, full_break_in: float, wear_b: float, wear_tau: float, wear_gamma: float
) -> float:
    """`wear_growth` where the break-in at w = 1 is known already, as it is the same for all uses of an edge.

    Parameters
    ----------
    full_break_in : float
        ``break_in_share(1.0, wear_b, wear_tau)``.
    life_share, wear_b, wear_tau, wear_gamma : float
        As for `wear_growth`.

    >>> wear_growth_after(1.0, break_in_share(1.0, 0.32, 0.057), 0.32, 0.057, 1.4)
    1.0
    """
    return break_in_share(life_share, wear_b, wear_tau) + (1.0 - full_break_in) * math.pow(life_share, wear_gamma)


@law
def share_of_growth(growth: float, wear_b: float, wear_tau: float, wear_gamma: float) -> float:
    """Life share at which the wear of an edge has grown so far: the inverse of `wear_growth`, by halving.

    Parameters
    ----------
    growth : float
        Wear land over its limit, 0 or more.
    wear_b, wear_tau, wear_gamma : float
        As for `wear_growth`.

    Returns
    -------
    float
        `MOST_LIVES` where it has not grown so far by then.

    >>> round(share_of_growth(1.0, 0.32, 0.057, 1.4), 12)
    1.0
    """
    least, most = 0.0, MOST_LIVES
    if wear_growth(most, wear_b, wear_tau, wear_gamma) <= growth:
        return MOST_LIVES
    for _ in range(_HALVINGS):
        middle = (least + most) / 2.0
        if wear_growth(middle, wear_b, wear_tau, wear_gamma) < growth:
            least = middle
        else:
            most = middle
    return most


@law
def wear_land_mm(life_share: float, wear_limit_mm: float, wear_b: float, wear_tau: float, wear_gamma: float) -> float:
    """Width of the flank wear land after a share of the edge's life: VB_lim g(w).

    Parameters
    ----------
    life_share : float
        w, 0 or more.
    wear_limit_mm : float, mm
        Land at w = 1, the life criterion.
    wear_b, wear_tau, wear_gamma : float
        As for `wear_growth`.

    Returns
    -------
    float, mm

    >>> wear_land_mm(1.0, 0.3, 0.32, 0.057, 1.4)
    0.3
    """
    return wear_limit_mm * wear_growth(life_share, wear_b, wear_tau, wear_gamma)


@law
def edge_life_factor(cv: float, uniform: float) -> float:
    """What the life of one edge is multiplied by: lognormal of mean 1.

    Parameters
    ----------
    cv : float
        Coefficient of variation of life from edge to edge; 0 for edges that are all alike.
    uniform : float
        The edge's luck, strictly between 0 and 1.

    >>> edge_life_factor(0.0, 0.9), edge_life_factor(0.3, 0.9) > 1.0
    (1.0, True)
    """
    return 1.0 if cv <= 0.0 else lognormal_value(1.0, cv, normal_from_uniform(uniform))


@law
def finish_factor(sigma: float, uniform: float) -> float:
    """What the roughness of one mounted cutter is multiplied by, as its teeth happen to stand: lognormal of mean 1.

    Parameters
    ----------
    sigma : float
        Standard deviation of its logarithm; 0 for cutters that are all alike.
    uniform : float
        The cutter's luck, strictly between 0 and 1.

    >>> finish_factor(0.0, 0.9), finish_factor(0.3, 0.9) > 1.0
    (1.0, True)
    """
    return 1.0 if sigma <= 0.0 else math.exp(sigma * normal_from_uniform(uniform) - 0.5 * sigma * sigma)


@law
def edge_break_share(shape: float, scale: float, uniform: float) -> float:
    """Life share at which one edge breaks: Weibull.

    Parameters
    ----------
    shape : float
        Weibull shape, above 0.
    scale : float
        Life share by which 63.2 % of edges have broken; infinite where none ever breaks.
    uniform : float
        The edge's luck, strictly between 0 and 1; a small one is a long life.

    >>> round(edge_break_share(4.0, 2.2, math.exp(-1.0)), 12), edge_break_share(1.0, math.inf, 0.5)
    (2.2, inf)
    """
    return math.inf if math.isinf(scale) else scale * math.pow(-math.log(uniform), 1.0 / shape)


@law
def edge_break_share_after(reached: float, shape: float, scale: float, uniform: float) -> float:
    """Life share at which an edge breaks that has come so far whole: Weibull, given that it is more.

    Parameters
    ----------
    reached : float
        Life share that it has come to, 0 or more.
    shape, scale, uniform : float
        As for `edge_break_share`; with the same luck an edge lasts the longer, the farther it has come.

    >>> round(edge_break_share_after(0.0, 4.0, 2.2, math.exp(-1.0)), 12)
    2.2
    """
    if math.isinf(scale):
        return math.inf
    return scale * math.pow(math.pow(reached / scale, shape) - math.log(uniform), 1.0 / shape)
