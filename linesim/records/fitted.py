"""All that records say, set by set, machine by machine, gauge by gauge."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass, field

from linesim.records.coefficient import Coefficient
from linesim.records.edge_life import EdgeLife, edge_life
from linesim.records.fitting import Fit
from linesim.records.gauge_study import gauge_study
from linesim.records.handbook_prior import grade_of
from linesim.records.lives import lives_from_book, lives_from_wear
from linesim.records.reading import Aside, Record, Records
from linesim.records.spreads import change_figures, first_part_figures, trend_figures
from linesim.records.stoppages import machine_times
from linesim.records.wear_curve import wear_curve_figures
from linesim.works.model import Works

__all__ = ["Fitted", "fit_records"]

USUAL_LAND_MM = 0.3
"""Wear land at the end of life where no scenario says: ISO 3685:1993, uniform flank wear."""


@dataclass
class Fitted:
    """What the records say.

    Attributes
    ----------
    coefficients : list of Coefficient
        Every figure.
    sentences : list of str
        What has to be known of them.
    asides : list of Aside
        Rows that were read and could not serve a fit.
    lives : dict of str to EdgeLife
        Edge lives by set.
    times : dict of str to dict of str to Fit
        Times of breakdowns and repairs by machine.
    """

    coefficients: list[Coefficient] = field(default_factory=list)
    sentences: list[str] = field(default_factory=list)
    asides: list[Aside] = field(default_factory=list)
    lives: dict[str, EdgeLife] = field(default_factory=dict)
    times: dict[str, dict[str, Fit]] = field(default_factory=dict)


def fit_records(records: Records, works: Works | None = None) -> Fitted:
    """Fit all that records allow.

    Parameters
    ----------
    records : Records
        Rows that serve.
    works : Works, optional
        Whose handbook enters where a shop has few edges, and whose wear limits hold.
    """
    fitted = Fitted()
    for name, rows in _by(records, "set", "tool changes", "gauge readings"):
        _fit_set(fitted, name, rows, works)
    for name, rows in _by(records, "set", "tool changes", "change minutes"):
        fitted.coefficients += change_figures(name, rows)
    for name, rows in _by(records, "set", "tool changes"):
        fitted.coefficients += first_part_figures(name, rows)
    for name, rows in _by(records, "set", "gauge readings"):
        fitted.coefficients += trend_figures(name, rows, "roughness", "µm")
        fitted.coefficients += trend_figures(name, rows, "size error", "µm")
    for name, rows in _by(records, "gauge", "gauge study"):
        coefficients, sentences = gauge_study(name or "gauge", rows)
        fitted.coefficients += coefficients
        fitted.sentences += sentences
    for name, rows in _by(records, "machine", "stoppages"):
        coefficients, asides, fitted.times[name] = machine_times(name, rows)
        fitted.coefficients += coefficients
        fitted.asides += asides
    return fitted


def _by(records: Records, column: str, *kinds: str) -> Iterator[tuple[str, list[Record]]]:
    """Rows of some kinds by what stands in one column, in the order in which it comes up."""
    name_of: Callable[[Record], str] = lambda row: row.name(column)  # noqa: E731 - used twice
    rows = records.of(*kinds)
    for name in dict.fromkeys(map(name_of, rows)):
        yield name, [row for row in rows if name_of(row) == name]


def _fit_set(fitted: Fitted, name: str, rows: list[Record], works: Works | None) -> None:
    """Fit the edge life of one set: by its changes, else by readings of its wear land."""
    grade = None if works is None else grade_of(works, name)
    own_limit = works.cutters[name].wear_limit if works is not None and name in works.cutters else None
    limit = own_limit or (grade.wear_limit_mm if grade is not None else USUAL_LAND_MM)
    readings = [row for row in rows if row.kind == "gauge readings"]
    fitted.coefficients += wear_curve_figures(name, readings, limit)
    data = lives_from_book(name, [row for row in rows if row.kind == "tool changes"])
    if data is None:
        data = lives_from_wear(name, readings, limit)
        fitted.sentences += [f"{name}: a life ends at a wear land of {limit:g} mm."] if data is not None else []
    if data is None:
        return
    fitted.lives[name] = answer = edge_life(data, grade)
    fitted.coefficients += answer.coefficients
    fitted.sentences += answer.sentences
    fitted.asides += data.asides
