"""Metal that regrinds take: what is ground away beside the wear land, per millimetre of it, and past the limit.

Metal = margin + per land · land + past limit · max(0, land - limit), as `linesim.cutting.regrinding` has it. Least
squares; for normal errors Student's t gives the profile interval exactly.
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from scipy import stats

from linesim.records.coefficient import ESTABLISHED, UNKNOWN, Coefficient, origin_of
from linesim.records.profiles import Interval
from linesim.records.reading import Record
from linesim.records.spreads import mean_of

__all__ = ["MARGIN", "PAST_LIMIT", "PER_LAND", "regrind_figures"]

MARGIN, PER_LAND = "metal ground away beyond the wear land", "metal ground away per mm of wear land"
PAST_LIMIT = "metal ground away besides per mm past the wear limit"
_FEWEST = 3


def regrind_figures(name: str, rows: Sequence[Record], limit_mm: float) -> list[Coefficient]:
    """What regrinds of one set take.

    Parameters
    ----------
    name : str
        The set.
    rows : sequence of Record
        Its regrinds.
    limit_mm : float
        Wear land at the end of life.
    """
    metal = np.array([row.values["metal taken"] for row in rows], float)
    if metal.size < _FEWEST:
        return []
    figures = [Coefficient(name, "mean metal ground away", mean_of(metal), "mm", ESTABLISHED, origin_of(rows))]
    used = [row for row in rows if "wear land" in row.values]
    land = np.array([row.values["wear land"] for row in used], float)
    past = np.maximum(0.0, land - limit_mm)
    named, x = [MARGIN, PER_LAND], np.column_stack([np.ones(land.size), land])
    if min(int((past > 0.0).sum()), np.unique(land[past == 0.0]).size) >= _FEWEST:
        named, x = [*named, PAST_LIMIT], np.column_stack([x, past])
    spare = land.size - len(named)
    if spare < _FEWEST or np.linalg.matrix_rank(x, tol=1e-9) < len(named):
        return figures
    taken = np.array([row.values["metal taken"] for row in used], float)
    values = np.linalg.lstsq(x, taken, rcond=None)[0]
    spread = float(((taken - x @ values) ** 2).sum()) / spare
    halves = float(stats.t.ppf(0.975, spare)) * np.sqrt(np.diag(spread * np.linalg.inv(x.T @ x)))
    origin, span = origin_of(used), f"wear lands of {land.min():.3g} to {land.max():.3g} mm"
    for of, value, half in zip(named, map(float, values), map(float, halves), strict=True):
        each = Interval(value, value - half, value + half)
        state = UNKNOWN if of != MARGIN and each.low <= 0.0 <= each.high else ESTABLISHED
        figures.append(Coefficient(name, of, each, "mm" if of == MARGIN else "", state, origin, span))
    return figures
