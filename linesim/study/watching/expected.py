"""What a scenario foretells of single records, and how far each record was from it."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Literal

import numpy as np

from linesim.plan.times import mean_minutes
from linesim.records.handbook_prior import first_cut_of, grade_of
from linesim.records.lives import minutes_of
from linesim.records.reading import Record, Records
from linesim.study.search.common.set_at import all_sets_at
from linesim.study.watching.chart import Error
from linesim.works.model import Works

__all__ = ["LIFE", "MOVING_RANGE", "Expected", "expected_in"]

What = Literal["edge life", "change minutes", "first part error"]
LIFE: What = "edge life"
CHANGE: What = "change minutes"
SETTING: What = "first part error"
MOVING_RANGE = 2.0 / math.pi**0.5
"""Mean range of two normal values over their standard deviation (d2 of two), exactly."""
_FEWEST = 4


@dataclass(frozen=True)
class Expected:
    """One quantity that is watched.

    Attributes
    ----------
    of, what, unit : str
        The set, what is watched, and its unit.
    value : float
        What the scenario has for it.
    rows : tuple of Record
        Records of it, with a date.
    errors : tuple of Error
        How far each was from what was foretold.
    """

    of: str
    what: What
    unit: str
    value: float
    rows: tuple[Record, ...]
    errors: tuple[Error, ...]


def expected_in(works: Works, records: Records) -> Iterator[Expected]:
    """Everything in records that a scenario foretells.

    Parameters
    ----------
    works : Works
        The scenario with the standing figures.
    records : Records
        New records.

    Yields
    ------
    Expected
        Sets that the scenario does not have, and rows without a date, are left out.
    """
    lives = {set_at.cutter: set_at.life_min for set_at in reversed(all_sets_at(works))}
    for name, cutter in works.cutters.items():
        rows = [
            row
            for row in records.of("tool changes", "change minutes")
            if row.name("set") == name and row.when is not None
        ]
        rows.sort(key=lambda row: str(row.when))
        book = [row for row in rows if row.kind == "tool changes" and (minutes_of(row) or 0.0) > 0.0]
        cv = _life_cv(works, name)
        if name in lives and cv > 0.0 and book:
            errors = _life_errors(works, name, lives[name], cv, book)
            yield Expected(name, LIFE, "min", lives[name], tuple(book), tuple(errors))
        timed = [row for row in rows if "change minutes" in row.values and row.name("why") != "broken"]
        if len(timed) >= _FEWEST:
            mean = mean_minutes(cutter.change)
            yield Expected(name, CHANGE, "min", mean, tuple(timed), tuple(_mean_errors(timed, CHANGE, mean, 0.0)))
        first = [row for row in rows if "first part error" in row.values]
        if len(first) >= _FEWEST:
            spread = cutter.setting.error or 0.0
            yield Expected(name, SETTING, "µm", 0.0, tuple(first), tuple(_mean_errors(first, SETTING, 0.0, spread)))


def _life_cv(works: Works, name: str) -> float:
    own, grade = works.cutters[name].life_cv, grade_of(works, name)
    return own if own is not None else grade.life_cv if grade is not None else 0.0


def _mean_errors(rows: Sequence[Record], what: str, mean: float, spread: float) -> Iterator[Error]:
    """Values less their mean; where no spread stands, by the moving range of the records themselves."""
    values = np.array([row.values[what] for row in rows], float)
    sigma = spread or float(np.abs(np.diff(values)).mean()) / MOVING_RANGE
    for row, value in zip(rows, values, strict=True):
        if sigma > 0.0 and row.when is not None:
            yield Error(row.when, float(value - mean) / sigma, float(value - mean) / sigma)


def _life_errors(works: Works, name: str, life: float, cv: float, rows: Sequence[Record]) -> Iterator[Error]:
    """Lives against lognormal ones about the standing mean: ended, ended between two looks, or longer than they did."""
    sigma = float(np.sqrt(np.log1p(cv**2)))
    for row in rows:
        minutes, good = minutes_of(row), row.number("last good")
        mean = life * _condition_factor(works, name, row)
        if minutes is None or row.when is None or (good is not None and good > minutes):
            continue
        is_worn = row.name("why") == "worn"
        since = good if good and row.name("why") in ("worn", "broken") else minutes
        low, high = (float((np.log(each / mean) + 0.5 * sigma**2) / sigma) for each in (since, minutes))
        yield Error(row.when, low, high if is_worn else np.inf)


def _condition_factor(works: Works, name: str, row: Record) -> float:
    """By what a life at the row's own speed, feed and depth is longer than at those of the scenario's cut."""
    grade, place = grade_of(works, name), first_cut_of(works, name)
    if grade is None or place is None:
        return 1.0
    factor = 1.0
    for each, power in (("speed", -1.0 / grade.n), ("feed", -grade.p), ("depth", -grade.q)):
        own, usual = row.number(each), getattr(place.cut, each)
        factor *= (own / usual) ** power if own and usual else 1.0
    return float(factor)
