"""The wear curve of a set: how the wear land grows from a sharp edge to the end of its life, from readings of it.

Land over limit = b (1 - exp(-w / tau)) + (1 - b (1 - exp(-1 / tau))) w**gamma, with w the minutes over the edge's own
life: the law of `linesim.cutting.life.wear_growth`. Each edge has a life of its own; the curve is
shared. Least squares by scipy.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from scipy import stats

from linesim.plan.tables import Floats
from linesim.records.coefficient import ESTABLISHED, UNKNOWN, Coefficient, origin_of
from linesim.records.lives import minutes_of
from linesim.records.profiles import Interval
from linesim.records.reading import Record
from linesim.records.squares import least

__all__ = [
    "CURVE_HIGH", "CURVE_LOW", "CURVE_START", "USUAL_LAND_MM", "WEAR_CURVE", "WearCurve", "grown", "wear_curve",
    "wear_curve_figures",
]  # fmt: skip

WEAR_CURVE = {
    "break-in share of the wear curve": "wear_b",
    "break-in length of the wear curve": "wear_tau",
    "power of the wear curve": "wear_gamma",
}
"""The figures of the curve, and what the handbook calls each."""
USUAL_LAND_MM = 0.3
"""Wear land at the end of life where no scenario says: ISO 3685:1993, uniform flank wear."""
CURVE_LOW, CURVE_HIGH = (0.0, 0.01, 0.3), (0.95, 1.0, 6.0)
"""Between which the figures of the curve are looked for."""
CURVE_START = (0.25, 0.1, 1.3)
"""Where the search for them begins."""
_FEWEST = 4


@dataclass(frozen=True)
class WearCurve:
    """The wear curve of one set, and the readings that it was fitted to.

    Attributes
    ----------
    coefficients : tuple of Coefficient
        Its figures.
    share : ndarray
        Cutting minutes of each reading over the life of its edge as fitted.
    land_mm : ndarray
        Wear land of each.
    limit_mm : float
        Wear land at the end of life.
    """

    coefficients: tuple[Coefficient, ...]
    share: Floats
    land_mm: Floats
    limit_mm: float

    def land_at(self, share: Floats) -> Floats:
        """Wear land as fitted, mm, at shares of a life."""
        b, tau, gamma = (each.interval.value for each in self.coefficients)
        return self.limit_mm * grown(share, b, tau, gamma)


def grown(share: Floats, b: Floats | float, tau: Floats | float, gamma: Floats | float) -> Floats:
    """Wear land over its limit at life shares; `linesim.cutting.life.wear_growth` for many at once.

    Parameters
    ----------
    share : ndarray
        Life shares, 0 or more.
    b, tau, gamma : float or ndarray
        Break-in share and length, power.
    """
    growth: Floats = -b * np.expm1(-share / tau) + (1.0 + b * np.expm1(-1.0 / tau)) * share**gamma
    return growth


def wear_curve_figures(name: str, rows: Sequence[Record], limit_mm: float) -> list[Coefficient]:
    """Figures of `wear_curve`, none where there are too few readings."""
    curve = wear_curve(name, rows, limit_mm)
    return [] if curve is None else list(curve.coefficients)


def wear_curve(name: str, rows: Sequence[Record], limit_mm: float) -> WearCurve | None:
    """Shape of the wear curve of one set.

    Parameters
    ----------
    name : str
        The set.
    rows : sequence of Record
        Readings with edge, minutes and wear land.
    limit_mm : float
        Wear land at the end of life.

    Returns
    -------
    WearCurve or None
        None unless there are at least four readings more than figures; intervals by Student's t on the curvature.
    """
    edges: dict[tuple[str, str], list[Record]] = defaultdict(list)
    for row in rows:
        if row.name("edge") and row.number("wear land") is not None and (minutes_of(row) or 0.0) > 0.0:
            edges[row.name("machine"), row.name("edge")].append(row)
    whole = [each for each in edges.values() if len(each) >= _FEWEST]
    used = [row for each in whole for row in each]
    spare = len(used) - len(whole) - len(WEAR_CURVE)
    if spare < _FEWEST:
        return None
    edge = np.repeat(np.arange(len(whole)), [len(each) for each in whole])
    minutes = np.array([minutes_of(row) for row in used], float)
    land = np.array([row.number("wear land") for row in used], float) / limit_mm
    values, halves, lives = _fitted(minutes, land, edge, spare)
    origin, answer = origin_of(used), []
    for at, figure in enumerate(WEAR_CURVE):
        interval = Interval(values[at], values[at] - halves[at], values[at] + halves[at])
        is_known = interval.low > CURVE_LOW[at] and interval.high < CURVE_HIGH[at]
        answer.append(Coefficient(name, figure, interval, "", ESTABLISHED if is_known else UNKNOWN, origin))
    return WearCurve(tuple(answer), minutes / lives[edge], land * limit_mm, limit_mm)


def _fitted(minutes: Floats, land: Floats, edge: np.ndarray, spare: int) -> tuple[list[float], list[float], Floats]:
    """The shared figures, half the width of their intervals, and the life of each edge."""
    lives = np.array([_first_life(minutes[edge == each], land[edge == each]) for each in range(int(edge.max()) + 1)])

    def misses(theta: Floats) -> Floats:
        return grown(minutes / np.exp(theta[3:])[edge], *theta[:3]) - land

    edges = np.log(lives)
    answer = least(
        misses,
        np.append(CURVE_START, edges),
        np.append(CURVE_LOW, edges - 3.0),
        np.append(CURVE_HIGH, edges + 3.0),
    )
    halves = float(stats.t.ppf(0.975, spare)) * answer.errors(spare)[:3]
    return [float(each) for each in answer.values[:3]], [float(each) for each in halves], np.exp(answer.values[3:])


def _first_life(minutes: Floats, land: Floats) -> float:
    """A first guess of an edge's life: its last reading, stretched to the limit."""
    at = int(np.argmax(minutes))
    return float(minutes[at] / max(land[at], 0.05))
