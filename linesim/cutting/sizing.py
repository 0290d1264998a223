"""Reaming and honing: a reamer makes its own size and follows the hole; a hone takes form and stops at size or time.

Sources: reamer follows the axis and corrects no position (read in trade pages); size a reamer's own plus 5 to 15 µm;
a stone longer than the error cuts the high places first. The figures are assumptions within those.
"""

from __future__ import annotations

from linesim.law import law

HONED_EVENLY = 0.5
"""eta: half of what a stone takes comes off the high places first (assumed, 0.3 to 0.8)."""


@law
def honed_form_um(form_um: float, stock_um: float, share: float, floor_um: float) -> float:
    """Form after honing: the high places go first, max(floor, o - 2 eta Z).

    Parameters
    ----------
    form_um : float, µm
        Roundness or taper found.
    stock_um : float, µm
        Mean metal taken per side, Z; where the stone took nothing (minus), the form stays.
    share : float
        2 eta, eta being 0.3 to 0.8; see `HONED_EVENLY`.
    floor_um : float, µm
        What honing leaves however much it takes.

    Returns
    -------
    float, µm

    >>> honed_form_um(20.0, 15.0, 1.0, 1.0)
    5.0
    >>> honed_form_um(20.0, -15.0, 1.0, 1.0)
    20.0
    """
    return max(floor_um, form_um - share * max(stock_um, 0.0))


@law
def honed_by_gauge_min(stock_um: float, error_um: float, rate_um_min: float, spark_out_min: float) -> float:
    """Minutes of honing to size: (Z + e) / rate and the sparking out; nothing is taken where the hole is too large.

    Parameters
    ----------
    stock_um, error_um : float, µm
        Stock meant to be taken; metal found beyond it (minus: less).
    rate_um_min : float, µm/min
        Taken off per side, above 0.
    spark_out_min : float, min

    Returns
    -------
    float, min

    >>> honed_by_gauge_min(20.0, 5.0, 25.0, 0.2)
    1.2
    """
    return max(0.0, stock_um + error_um) / rate_um_min + spark_out_min


@law
def reamed_um(ground_to_mm: float, oversize_um: float, meant_mm: float) -> float:
    """Metal that a reamer leaves on per side: half of what its hole comes out under the diameter meant, µm.

    Parameters
    ----------
    ground_to_mm, meant_mm : float, mm
        Diameter of the reamer; of the hole that this cut should leave.
    oversize_um : float, µm
        By how much the hole comes out larger than the reamer, of diameter: 5 to 15 (assumed).

    >>> round(reamed_um(31.990, 10.0, 32.010), 9)
    5.0
    """
    return 500.0 * (meant_mm - ground_to_mm) - 0.5 * oversize_um
