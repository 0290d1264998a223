"""Means, standard deviations and trends of what is simply measured: change minutes, first parts, roughness and size."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from scipy import stats

from linesim.records.coefficient import ESTABLISHED, UNKNOWN, Coefficient, origin_of
from linesim.records.profiles import Interval
from linesim.records.reading import Record

__all__ = ["change_figures", "first_part_figures", "mean_of", "spread_of", "trend_figures"]

_FEWEST = 3
_TAIL = 0.025


def mean_of(values: np.ndarray) -> Interval:
    """Mean of values with its interval by Student's t.

    Source: W. S. Gosset 1908, as in any text book.
    """
    half = float(stats.t.ppf(1.0 - _TAIL, values.size - 1) * values.std(ddof=1) / values.size**0.5)
    mean = float(values.mean())
    return Interval(mean, mean - half, mean + half)


def spread_of(values: np.ndarray) -> Interval:
    """Standard deviation of values with its interval by chi-square, as of normal values."""
    spread, df = float(values.std(ddof=1)), values.size - 1
    low, high = (spread * (df / float(stats.chi2.ppf(tail, df))) ** 0.5 for tail in (1.0 - _TAIL, _TAIL))
    return Interval(spread, low, high)


def change_figures(name: str, rows: Sequence[Record]) -> list[Coefficient]:
    """Minutes of a change of one set: those after a breakage are held apart."""
    used = [row for row in rows if "change minutes" in row.values and row.name("why") != "broken"]
    minutes = np.array([row.values["change minutes"] for row in used], float)
    if minutes.size < _FEWEST:
        return []
    origin = origin_of(used)
    answer = [Coefficient(name, "mean change minutes", mean_of(minutes), "min", ESTABLISHED, origin)]
    return [*answer, Coefficient(name, "scatter of change minutes", spread_of(minutes), "min", ESTABLISHED, origin)]


def first_part_figures(name: str, rows: Sequence[Record]) -> list[Coefficient]:
    """Setting error of one set: mean and standard deviation of the first part's error after a change."""
    used = [row for row in rows if "first part error" in row.values]
    errors = np.array([row.values["first part error"] for row in used], float)
    if errors.size < _FEWEST:
        return []
    origin, mean, spread = origin_of(used), mean_of(errors), spread_of(errors)
    is_lean = not mean.low <= 0.0 <= mean.high
    note = "the gauge's own error and the cut's are in it"
    return [
        Coefficient(name, "setting error", spread, "µm", ESTABLISHED, origin, note),
        Coefficient(name, "bias of the first part", mean, "µm", ESTABLISHED if is_lean else UNKNOWN, origin),
    ]


def trend_figures(name: str, rows: Sequence[Record], what: str, unit: str) -> list[Coefficient]:
    """What a reading is with a fresh edge, and by how much it grows with each hundred parts since the change.

    Parameters
    ----------
    name : str
        The set.
    rows : sequence of Record
        Its readings.
    what, unit : str
        Which reading, and its unit.
    """
    used = [row for row in rows if what in row.values and "parts" in row.values]
    parts = np.array([row.values["parts"] for row in used], float)
    values = np.array([row.values[what] for row in used], float)
    if parts.size < _FEWEST or np.ptp(parts) == 0.0:
        return []
    line = stats.linregress(parts, values)
    far = float(stats.t.ppf(1.0 - _TAIL, max(parts.size - 2, 1)))
    start, growth = float(line.intercept), 100.0 * float(line.slope)
    half_start, half_growth = far * float(line.intercept_stderr), 100.0 * far * float(line.stderr)
    fresh = Interval(start, start - half_start, start + half_start)
    each = Interval(growth, growth - half_growth, growth + half_growth)
    state, origin = UNKNOWN if each.low <= 0.0 <= each.high else ESTABLISHED, origin_of(used)
    return [
        Coefficient(name, f"{what} of a fresh edge", fresh, unit, ESTABLISHED, origin),
        Coefficient(
            name, f"{what} by 100 parts", each, unit, state, origin, f"{parts.min():g} to {parts.max():g} parts"
        ),
    ]
