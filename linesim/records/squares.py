"""Least squares of a curve that is not straight in its figures, and how surely each figure is known by it."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
from scipy.optimize import least_squares

from linesim.plan.tables import Floats

__all__ = ["Squares", "least"]

_STEP = float(np.finfo(float).eps) ** (1.0 / 3.0)
"""Of each figure, by which its slope is felt for; a step of the size of 1 is no step for a figure of a millionth."""


@dataclass(frozen=True)
class Squares:
    """Figures that leave the least sum of squares.

    Attributes
    ----------
    values : ndarray
        The figures.
    total : float
        The sum of squares that is left.
    covariance : ndarray
        Of the figures by the curvature there, where a single miss has a standard deviation of 1.
    """

    values: Floats
    total: float
    covariance: Floats

    def errors(self, spare: int) -> Floats:
        """Standard error of each figure, with the scatter that is left over `spare` degrees of freedom."""
        return np.sqrt(np.clip(np.diag(self.covariance), 0.0, None) * self.total / spare)


def least(
    misses: Callable[[Floats], Floats], start: Floats, low: Floats | float = -np.inf, high: Floats | float = np.inf
) -> Squares:
    """Figures with which the misses have the least sum of squares, from a start that is not far off.

    Parameters
    ----------
    misses : callable
        Figures to what is missed by at each reading.
    start : ndarray
        Where the search begins, within the bounds.
    low, high : ndarray or float
        Bounds of each figure, or of all.

    Notes
    -----
    Figures of very unlike size are measured each by what it does to the misses before anything is inverted; otherwise
    the small ones are lost in the rounding of the great ones, and seem to be known exactly.
    """
    with np.errstate(all="ignore"):
        answer = least_squares(
            misses,
            start,
            bounds=(low, high),
            x_scale="jac",
            jac="3-point",
            diff_step=_STEP,
            xtol=1e-14,
            ftol=1e-14,
            gtol=1e-14,
            max_nfev=3_000,
        )
        slope = np.asarray(answer.jac, float)
    size = np.linalg.norm(slope, axis=0)
    size[size == 0.0] = 1.0
    back = np.linalg.pinv(slope / size, rcond=1e-13) / size[:, None]
    return Squares(np.asarray(answer.x, float), 2.0 * float(answer.cost), back @ back.T)
