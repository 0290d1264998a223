"""How much metal a regrind takes, and how many of them a cutter stands."""

from __future__ import annotations

import math

from linesim.law import law

_ROUNDING = 1e-9
"""By how much a stock may fall short, as tenths of a millimetre do not add up exactly."""


@law
def regrind_takes_mm(wear_land_mm: float, land_factor: float, clean_up_mm: float) -> float:
    """Stock that one regrind takes: wear land x factor + clean-up margin.

    Parameters
    ----------
    wear_land_mm : float, mm
        Wear land VB when taken off.
    land_factor : float
        1 where the tooth face is ground; the tangent of the clearance angle where the flank is.
    clean_up_mm : float, mm
        Margin to sound metal; 0.05-0.15 (Kosilova and Meshcheryakov; Rodin, from memory).

    Returns
    -------
    float, mm

    >>> round(regrind_takes_mm(0.6, 1.0, 0.1), 6)
    0.7
    """
    return wear_land_mm * land_factor + clean_up_mm


@law
def regrind_past_limit_mm(takes_mm: float, wear_land_mm: float, limit_mm: float, extra: float) -> float:
    """Stock that a regrind takes from an edge past its limit: chips and comb cracks go deeper than the land.

    Parameters
    ----------
    takes_mm : float, mm
        Land and clean-up, see `regrind_takes_mm`.
    wear_land_mm, limit_mm : float, mm
        Land when taken off; at which the edge counts as dull.
    extra : float
        c_x, 0 to 2, for each millimetre past the limit; 1 is assumed.

    Returns
    -------
    float, mm

    >>> round(regrind_past_limit_mm(0.6, 0.5, 0.3, 1.0), 6)
    0.8
    """
    return takes_mm + extra * max(0.0, wear_land_mm - limit_mm)


@law
def regrinds_from_stock(stock_mm: float, takes_mm: float) -> float:
    """Whole regrinds that a stock allows: floor(M / g).

    Parameters
    ----------
    stock_mm : float, mm
        Usable stock M.
    takes_mm : float, mm
        Stock g that each regrind takes, above 0.

    Returns
    -------
    float
        A whole number; the cutter has one edge more.

    >>> regrinds_from_stock(3.0, 0.9 + 0.1)
    3.0
    """
    return float(math.floor(stock_mm / takes_mm + _ROUNDING))
