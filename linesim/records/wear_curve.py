"""The wear curve of a set: how the wear land grows from a sharp edge to the end of its life, from readings of it.

Land over limit = b (1 - exp(-w / tau)) + (1 - b (1 - exp(-1 / tau))) w**gamma, with w the minutes over the edge's own
life: the law of `linesim.cutting.life.wear_growth`. Each edge has a life of its own; the curve is
shared. Least squares by scipy.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Sequence

import numpy as np
from scipy import stats
from scipy.optimize import least_squares

from linesim.records.coefficient import ESTABLISHED, UNKNOWN, Coefficient, origin_of
from linesim.records.likelihood import Floats
from linesim.records.lives import minutes_of
from linesim.records.profiles import Interval
from linesim.records.reading import Record

__all__ = ["WEAR_CURVE", "wear_curve_figures"]

WEAR_CURVE = {
    "break-in share of the wear curve": "wear_b",
    "break-in length of the wear curve": "wear_tau",
    "power of the wear curve": "wear_gamma",
}
"""The figures of the curve, and what the handbook calls each."""
_LOW, _HIGH, _START = (0.0, 0.01, 0.3), (0.95, 1.0, 6.0), (0.25, 0.1, 1.3)
_FEWEST = 4


def wear_curve_figures(name: str, rows: Sequence[Record], limit_mm: float) -> list[Coefficient]:
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
    list of Coefficient
        Empty unless there are at least four readings more than figures; intervals by Student's t on the curvature.
    """
    edges: dict[tuple[str, str], list[Record]] = defaultdict(list)
    for row in rows:
        if row.name("edge") and row.number("wear land") is not None and (minutes_of(row) or 0.0) > 0.0:
            edges[row.name("machine"), row.name("edge")].append(row)
    whole = [each for each in edges.values() if len(each) >= _FEWEST]
    used = [row for each in whole for row in each]
    spare = len(used) - len(whole) - len(WEAR_CURVE)
    if spare < _FEWEST:
        return []
    edge = np.repeat(np.arange(len(whole)), [len(each) for each in whole])
    minutes = np.array([minutes_of(row) for row in used], float)
    land = np.array([row.number("wear land") for row in used], float) / limit_mm
    values, halves = _fitted(minutes, land, edge, spare)
    origin, answer = origin_of(used), []
    for at, figure in enumerate(WEAR_CURVE):
        interval = Interval(values[at], values[at] - halves[at], values[at] + halves[at])
        is_known = interval.low > _LOW[at] and interval.high < _HIGH[at]
        answer.append(Coefficient(name, figure, interval, "", ESTABLISHED if is_known else UNKNOWN, origin))
    return answer


def _fitted(minutes: Floats, land: Floats, edge: np.ndarray, spare: int) -> tuple[list[float], list[float]]:
    """The shared figures and half the width of their intervals."""
    lives = np.array([_first_life(minutes[edge == each], land[edge == each]) for each in range(int(edge.max()) + 1)])

    def misses(theta: Floats) -> Floats:
        b, tau, gamma = theta[:3]
        share = minutes / np.exp(theta[3:])[edge]
        rest = 1.0 + b * np.expm1(-1.0 / tau)
        growth: Floats = -b * np.expm1(-share / tau) + rest * share**gamma - land
        return growth

    edges = np.log(lives)
    bounds = (np.append(_LOW, edges - 3.0), np.append(_HIGH, edges + 3.0))
    answer = least_squares(misses, np.append(_START, edges), bounds=bounds, x_scale="jac")
    slope = np.asarray(answer.jac, float)
    spread = 2.0 * float(answer.cost) / spare * np.linalg.pinv(slope.T @ slope)
    far = float(stats.t.ppf(0.975, spare))
    return [float(each) for each in answer.x[:3]], [far * max(float(spread[at, at]), 0.0) ** 0.5 for at in range(3)]


def _first_life(minutes: Floats, land: Floats) -> float:
    """A first guess of an edge's life: its last reading, stretched to the limit."""
    at = int(np.argmax(minutes))
    return float(minutes[at] / max(land[at], 0.05))
