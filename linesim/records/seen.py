"""What was measured, as it is drawn beside a fit: readings against parts, single values, readings of a gauge study."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass, field
from typing import Literal

import numpy as np

from linesim.plan.tables import Floats
from linesim.records.reading import Record, Records

__all__ = ["Seen", "seen_in"]

_MOST_DRAWN = 2000
_FEWEST = 3
_TRENDS = {"roughness": "µm", "size error": "µm"}
_VALUES = {"change minutes": "min", "first part error": "µm"}
"""What stands by itself, and its unit; as `linesim.records.spreads` fits it."""
_LINES = (
    ("regrinds", "set", "wear land", "metal taken", "mm"),
    ("offsets", "gauge", "error read", "offset", "µm"),
)
"""Kind of record, whose it is, one figure, the other one, their unit."""


@dataclass(frozen=True)
class Seen:
    """What was measured of one thing.

    Attributes
    ----------
    how : {"trend", "values", "study", "line", "heats"}
        Against parts since the change; by itself; a gauge's readings less the mean of their part; one figure against
        another; castings less the mean of all, by their heat.
    of, what, unit : str
        The set or gauge, what was measured, and its unit.
    y : ndarray
        The values.
    x : ndarray
        Parts since the change, the number of the part or heat, or the other figure; empty for values by themselves.
    by : tuple of str
        Who read each; empty where nobody is asked.
    across : str
        What the other figure is, with its unit.
    """

    how: Literal["trend", "values", "study", "line", "heats"]
    of: str
    what: str
    unit: str
    y: Floats
    x: Floats = field(default_factory=lambda: np.zeros(0))
    by: tuple[str, ...] = ()
    across: str = ""


def seen_in(records: Records) -> list[Seen]:
    """Everything in records that is drawn as it was measured.

    Parameters
    ----------
    records : Records
        Rows that serve.

    Returns
    -------
    list of Seen
        Of very many values as many as can be told apart in a picture, evenly through the rows.
    """
    return [*_trends(records), *_values(records), *_studies(records), *_lines(records), *_heats(records)]


def _by(rows: Sequence[Record], column: str) -> dict[str, list[Record]]:
    answer: dict[str, list[Record]] = defaultdict(list)
    for row in rows:
        answer[row.name(column)].append(row)
    return answer


def _thinned(rows: list[Record]) -> list[Record]:
    return rows[:: -(-len(rows) // _MOST_DRAWN)] if rows else rows


def _column(rows: Sequence[Record], name: str) -> Floats:
    return np.array([row.number(name) for row in rows], float)


def _trends(records: Records) -> list[Seen]:
    answer = []
    for of, rows in _by(records.of("gauge readings"), "set").items():
        for what, unit in _TRENDS.items():
            used = _thinned([row for row in rows if what in row.values and "parts" in row.values])
            if len(used) >= _FEWEST:
                answer.append(Seen("trend", of, what, unit, _column(used, what), _column(used, "parts")))
    return answer


def _values(records: Records) -> list[Seen]:
    answer = []
    for what, unit in _VALUES.items():
        for of, rows in _by(records.of("tool changes", "change minutes"), "set").items():
            is_change = what == "change minutes"
            used = [row for row in rows if what in row.values and not (is_change and row.name("why") == "broken")]
            if len(used) >= _FEWEST:
                answer.append(Seen("values", of, what, unit, _column(_thinned(used), what)))
    for of, rows in _by(records.of("counts"), "machine").items():
        used = _thinned([row for row in rows if {"good", "scrap"} <= row.values.keys()])
        good, scrap = _column(used, "good"), _column(used, "scrap")
        if len(used) >= _FEWEST and (good + scrap).min() > 0.0:
            answer.append(Seen("values", of or "all counts", "scrap", "%", 100.0 * scrap / (good + scrap)))
    return answer


def _lines(records: Records) -> list[Seen]:
    """One figure of a row against another."""
    answer = []
    for kind, by, across, what, unit in _LINES:
        for of, rows in _by(records.of(kind), by).items():
            used = _thinned([row for row in rows if across in row.values and what in row.values])
            if len(used) >= _FEWEST:
                x, y = _column(used, across), _column(used, what)
                answer.append(Seen("line", of or by, what, unit, y, x, across=f"{across}, {unit}"))
    return answer


def _heats(records: Records) -> list[Seen]:
    """Castings by their heat, less the mean of all."""
    answer = []
    for of, rows in _by(records.of("castings"), "feature").items():
        used = _thinned(rows)
        heats = list(dict.fromkeys(row.name("batch") for row in used))
        x = np.array([heats.index(row.name("batch")) + 1.0 for row in used])
        stock = 1000.0 * _column(used, "stock")
        if len(used) >= _FEWEST:
            answer.append(Seen("heats", of, "stock less its mean", "µm", stock - stock.mean(), x, across="heat"))
    return answer


def _studies(records: Records) -> list[Seen]:
    answer = []
    for of, rows in _by(records.of("gauge study"), "gauge").items():
        used = _thinned(rows)
        parts = list(dict.fromkeys(row.name("part") for row in used))
        x = np.array([parts.index(row.name("part")) for row in used])
        reading = 1000.0 * _column(used, "reading")
        means = np.bincount(x, reading) / np.bincount(x) if used else reading
        by = tuple(row.name("person") for row in used)
        answer.append(
            Seen("study", of or "gauge", "reading less the part's mean", "µm", reading - means[x], x + 1.0, by)
        )
    return answer
