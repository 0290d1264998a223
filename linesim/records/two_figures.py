"""The profile interval of one figure where one other has to follow: by search over that one."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np
from scipy.optimize import brentq, minimize_scalar
from scipy.stats import chi2

from linesim.records.profiles import Interval

__all__ = ["profiled"]

_FALL = 0.5 * float(chi2.ppf(0.95, 1))
_GRID = 13


def profiled(
    height: Callable[[float, float], float], span: tuple[float, float], beside: tuple[float, float]
) -> Interval:
    """The likeliest value of a figure and its profile interval at 95 %.

    Parameters
    ----------
    height : callable
        Logarithm of the likelihood at the figure and at the other one.
    span, beside : (float, float)
        Between which both are looked for. A bound of the interval that lies at the end of the span is that end.
    """

    def top(figure: float) -> float:
        return _highest(lambda other: height(figure, other), *beside)[1]

    value, peak = _highest(top, *span)

    def above(figure: float) -> float:
        return top(figure) - peak + _FALL

    low, high = (end if above(end) >= 0.0 or end == value else float(brentq(above, end, value)) for end in span)
    return Interval(value, low, high)


def _highest(function: Callable[[float], float], low: float, high: float) -> tuple[float, float]:
    """Where a function is highest, looked for on a coarse grid and then closely about its best place."""
    grid = np.linspace(low, high, _GRID)
    heights = [function(float(at)) for at in grid]
    best = int(np.argmax(heights))
    ends = float(grid[max(best - 1, 0)]), float(grid[min(best + 1, _GRID - 1)])
    close = minimize_scalar(lambda at: -function(float(at)), bounds=ends, method="bounded", options={"xatol": 1e-7})
    if -float(close.fun) > heights[best]:
        return float(close.x), -float(close.fun)
    return float(grid[best]), heights[best]
