"""Offset practice: which errors a shop leaves alone, and what part of the others it puts on the offset.

An error read is corrected with a chance that rises with its size: logistic about the dead band, steep where the shop
keeps to it sharply. The dead band has a profile interval, the steepness following. What is put on is the share of the
error, by least squares through nothing; Student's t.
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from scipy import stats
from scipy.special import log_expit

from linesim.plan.tables import Floats
from linesim.records.coefficient import ESTABLISHED, UNKNOWN, Coefficient, origin_of
from linesim.records.profiles import Interval
from linesim.records.reading import Record
from linesim.records.two_figures import profiled

__all__ = ["CORRECTED", "DEAD_BAND", "offset_figures"]

CORRECTED, DEAD_BAND = "share of the error that is corrected", "errors left alone up to"
_FEWEST = 3
_SHARPEST, _BLUNTEST = 0.002, 3.0


def offset_figures(name: str, rows: Sequence[Record]) -> list[Coefficient]:
    """How one gauge's readings are followed.

    Parameters
    ----------
    name : str
        The gauge.
    rows : sequence of Record
        Each reading with what was put on the offset for it, 0 where nothing was.
    """
    error = np.array([row.values["error read"] for row in rows], float)
    offset = np.array([row.values["offset"] for row in rows], float)
    is_moved, origin = offset != 0.0, origin_of(rows)
    figures = _shares(name, error[is_moved], offset[is_moved], origin)
    if min(int(is_moved.sum()), int((~is_moved).sum())) >= _FEWEST:
        band = _dead_band(np.abs(error), is_moved)
        state = ESTABLISHED if band.is_bounded and band.low > 0.0 else UNKNOWN
        note = f"{int(is_moved.sum())} of {error.size} readings were corrected"
        figures.append(Coefficient(name, DEAD_BAND, band, "µm", state, origin, note))
    return figures


def _shares(name: str, error: Floats, offset: Floats, origin: str) -> list[Coefficient]:
    """The share, where three readings or more were corrected."""
    squares = float((error**2).sum())
    if error.size < _FEWEST or squares == 0.0:
        return []
    share = float((error * offset).sum()) / squares
    spread = float(((offset - share * error) ** 2).sum()) / (error.size - 1)
    half = float(stats.t.ppf(0.975, error.size - 1)) * (spread / squares) ** 0.5
    note = "" if share > 0.0 else "offsets are written against the error"
    each = Interval(abs(share), abs(share) - half, abs(share) + half)
    return [Coefficient(name, CORRECTED, each, "", ESTABLISHED if each.low > 0.0 else UNKNOWN, origin, note)]


def _dead_band(size: Floats, is_moved: np.ndarray) -> Interval:
    """Errors below are mostly left alone, those above mostly corrected; not bounded above past twice the greatest."""
    greatest = float(size.max())
    if greatest == 0.0:
        return Interval(0.0, 0.0, np.inf)
    side = np.where(is_moved, 1.0, -1.0)

    def height(band: float, log_blunt: float) -> float:
        return float(log_expit(side * (size - band) / (greatest * np.exp(log_blunt))).sum())

    most = 2.0 * greatest
    fitted = profiled(height, (0.0, most), (float(np.log(_SHARPEST)), float(np.log(_BLUNTEST))))
    left, moved = float(size[~is_moved].max()), float(size[is_moved].min())
    value = 0.5 * (left + moved) if left < moved else fitted.value
    return Interval(value, min(fitted.low, value), np.inf if fitted.high >= most else max(fitted.high, value))
