"""Lives of the edges of one set, from the tool-change book or from readings of the wear land."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from linesim.records.likelihood import Lives
from linesim.records.reading import Aside, Record

__all__ = ["CONDITIONS", "SetLives", "lives_from_book", "lives_from_wear", "minutes_of"]

CONDITIONS = ("speed", "feed", "depth")
_VARIES = 0.03
"""A condition whose logarithm varies by less is taken as fixed."""
_LEAST_GROUPS = 5


@dataclass(frozen=True)
class SetLives:
    """Lives of one set with what they hang on.

    Attributes
    ----------
    name : str
        The set.
    lives : Lives
        Minutes between which each life ended.
    broken : ndarray of bool
        Which edges broke; their wear life is longer than what they did.
    hangs_on : tuple of str
        Conditions that vary, in the order of ``lives.x``.
    at : dict of str to float
        Reference: the middle of each condition that is known.
    between : dict of str to tuple of float
        Least and greatest of each.
    group : str
        "batch" or "machine" where groups scatter.
    rows : tuple of Record
        What the lives come from, one for each.
    asides : tuple of Aside
        Rows that could not serve.
    materials : tuple of str
        Where one set cuts several: the commonest, at which the reference stands, and then the others, each of which
        has a column of ``lives.x`` behind the conditions that is 1 where it is cut.
    """

    name: str
    lives: Lives
    broken: np.ndarray
    hangs_on: tuple[str, ...]
    at: dict[str, float]
    between: dict[str, tuple[float, float]]
    group: str
    rows: tuple[Record, ...]
    asides: tuple[Aside, ...] = ()
    materials: tuple[str, ...] = ()

    def x_of(self, row: Record) -> tuple[float, ...] | None:
        """What a life of another row hangs on, as a row of ``lives.x``; None where the row does not say it."""
        values = [row.number(each) for each in self.hangs_on]
        if self.materials and row.name("material") not in self.materials:
            return None
        logs = [
            float(np.log(value / self.at[each]))
            for each, value in zip(self.hangs_on, values, strict=True)
            if value is not None
        ]
        marks = [float(row.name("material") == other) for other in self.materials[1:]]
        return (*logs, *marks) if len(logs) == len(values) else None


def minutes_of(row: Record) -> float | None:
    """Cutting minutes of a row: as they stand, or its parts by the minutes of one part."""
    minutes, parts, each = row.number("minutes"), row.number("parts"), row.number("minutes per part")
    return minutes if minutes is not None else parts * each if parts is not None and each is not None else None


def lives_from_book(name: str, rows: Sequence[Record]) -> SetLives | None:
    """Lives of one set from its changes.

    An edge changed because it was worn has ended, between the last look at which it was good and the change where such
    a look is recorded. A broken one would have lasted longer than that look, or than it did where none is recorded;
    one changed by its interval or for another reason longer than it did.

    Parameters
    ----------
    name : str
        The set.
    rows : sequence of Record
        Its tool changes.

    Returns
    -------
    SetLives or None
        None if no row gives cutting minutes.
    """
    spans, used, asides = [], [], []
    for row in rows:
        minutes = minutes_of(row)
        good = row.number("last good")
        if minutes is None or minutes <= 0.0:
            asides.append(
                Aside(
                    row.file,
                    row.row,
                    "its cutting minutes are not known: minutes, or parts and minutes per part, were expected",
                )
            )
        elif good is not None and good > minutes:
            asides.append(
                Aside(
                    row.file, row.row, f"last seen good at {good:g} min, which is after the change at {minutes:g} min"
                )
            )
        else:
            # How worn an edge was when it broke is only known of the last look; at its interval it is looked at.
            is_worn, is_open = row.name("why") == "worn", row.name("why") in ("worn", "broken")
            spans.append((good if good is not None and is_open else minutes, minutes if is_worn else np.inf))
            used.append(row)
    return _lives(name, spans, used, asides)


def lives_from_wear(name: str, rows: Sequence[Record], limit_mm: float, *, is_between: bool = True) -> SetLives | None:
    """Lives of one set from readings of the wear land: the limit was passed between two readings, or not yet.

    Parameters
    ----------
    name : str
        The set.
    rows : sequence of Record
        Readings with wear land, minutes and edge.
    limit_mm : float
        Wear land at the end of life.
    is_between : bool
        Whether a life is known to end between two readings and no nearer; else it ends where a straight line between
        them passes the limit.
    """
    edges: dict[tuple[str, str], list[tuple[float, float, Record]]] = defaultdict(list)
    for row in rows:
        minutes, land = minutes_of(row), row.number("wear land")
        if minutes is not None and land is not None and row.name("edge"):
            edges[row.name("machine"), row.name("edge")].append((minutes, land, row))
    spans, used = [], []
    for readings in edges.values():
        readings.sort(key=lambda each: each[0])
        past = next((minutes for minutes, land, _ in readings if land >= limit_mm), np.inf)
        before = max((minutes for minutes, land, _ in readings if minutes < past), default=0.0)
        if before > 0.0 or np.isfinite(past):
            crossed = _crossed(readings, limit_mm) if np.isfinite(past) and not is_between else None
            spans.append((before, past) if crossed is None else (crossed, crossed))
            used.append(readings[-1][2])
    return _lives(name, spans, used, [])


def _crossed(readings: Sequence[tuple[float, float, Record]], limit_mm: float) -> float | None:
    """Minutes at which a straight line from the last reading below a limit to the first past it crosses the limit."""
    at = next(number for number, (_, land, _) in enumerate(readings) if land >= limit_mm)
    minutes, land, _ = readings[at]
    before, under, _ = readings[at - 1] if at else (0.0, 0.0, None)
    crossed = before + (minutes - before) * (limit_mm - under) / (land - under)
    return crossed if crossed > 0.0 else None


def _lives(name: str, spans: list[tuple[float, float]], used: list[Record], asides: list[Aside]) -> SetLives | None:
    """Put lives together with what they hang on."""
    if not spans:
        return None
    known = {each: [row.number(each) for row in used] for each in CONDITIONS}
    whole = {
        each: np.array(values, float) for each, values in known.items() if all(value is not None for value in values)
    }
    at = {each: float(np.exp(np.median(np.log(values)))) for each, values in whole.items()}
    hangs_on = tuple(each for each, values in whole.items() if np.ptp(np.log(values)) > _VARIES)
    x = np.column_stack([np.zeros((len(used), 0)), *(np.log(whole[each] / at[each]) for each in hangs_on)])
    group, codes = _groups(used)
    cut = [row.name("material") for row in used]
    materials = tuple(sorted(set(cut), key=lambda each: (-cut.count(each), each))) if all(cut) else ()
    materials = materials if len(materials) > 1 else ()
    x = np.column_stack([x, *(np.array([each == other for each in cut], float) for other in materials[1:])])
    low, high = np.array(spans, float).T
    broken = np.array([row.name("why") == "broken" for row in used])
    between = {each: (float(values.min()), float(values.max())) for each, values in whole.items()}
    lives = Lives(low, high, x, codes)
    return SetLives(name, lives, broken, hangs_on, at, between, group, tuple(used), tuple(asides), materials)


def _groups(used: list[Record]) -> tuple[str, np.ndarray]:
    """Which groups may scatter: batches, else machines, where there are enough of them."""
    for name in ("batch", "machine"):
        names = [row.name(name) for row in used]
        distinct = sorted(set(names))
        if all(names) and _LEAST_GROUPS <= len(distinct) <= 0.6 * len(names):
            return name, np.array([distinct.index(each) for each in names])
    return "", np.zeros(0, np.int64)
