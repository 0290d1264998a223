"""Ratios that may have nothing below the line."""

from __future__ import annotations

import numpy as np
import numpy.typing as npt

from linesim.plan.tables import Floats

__all__ = ["per"]


def per(top: npt.ArrayLike, bottom: npt.ArrayLike) -> Floats:
    """Quotient, element by element; not a number where the bottom is 0.

    >>> per([1.0, 1.0], [4.0, 0.0]).tolist()
    [0.25, nan]
    """
    above, below = np.asarray(top, dtype=np.float64), np.asarray(bottom, dtype=np.float64)
    quotient = np.full(np.broadcast(above, below).shape, np.nan)
    np.divide(above, below, out=quotient, where=below != 0.0)
    return quotient
