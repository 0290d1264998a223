"""All that records say, set by set, machine by machine, gauge by gauge."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field

from linesim.records.castings import casting_figures
from linesim.records.coefficient import Coefficient
from linesim.records.counted import count_figures
from linesim.records.edge_life import EdgeLife, edge_life
from linesim.records.fitting import Fit
from linesim.records.gauge_study import gauge_study
from linesim.records.handbook_prior import grade_of
from linesim.records.lives import lives_from_book, lives_from_wear
from linesim.records.offsets import offset_figures
from linesim.records.reading import Aside, Record, Records
from linesim.records.regrinds import regrind_figures
from linesim.records.seen import Seen, seen_in
from linesim.records.spreads import change_figures, first_part_figures, trend_figures
from linesim.records.stoppages import machine_times
from linesim.records.wear_curve import USUAL_LAND_MM, WearCurve, wear_curve
from linesim.works.model import Works

__all__ = ["Fitted", "fit_records", "fit_steps", "limit_of"]


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
    curves : dict of str to WearCurve
        Wear curves by set.
    seen : list of Seen
        What was measured, to be drawn.
    """

    coefficients: list[Coefficient] = field(default_factory=list)
    sentences: list[str] = field(default_factory=list)
    asides: list[Aside] = field(default_factory=list)
    lives: dict[str, EdgeLife] = field(default_factory=dict)
    times: dict[str, dict[str, Fit]] = field(default_factory=dict)
    curves: dict[str, WearCurve] = field(default_factory=dict)
    seen: list[Seen] = field(default_factory=list)


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
    for _ in fit_steps(fitted, records, works):
        pass
    return fitted


def fit_steps(fitted: Fitted, records: Records, works: Works | None = None) -> Iterator[str]:
    """Fit all that records allow, one thing after another.

    Parameters
    ----------
    fitted : Fitted
        Filled on the way.
    records, works : Records and Works
        As for `fit_records`.

    Yields
    ------
    str
        What is fitted next.
    """
    for name, rows in _by(records, "set", "tool changes", "gauge readings"):
        yield name
        _fit_set(fitted, name, rows, works)
    for name, rows in _by(records, "set", "tool changes", "change minutes"):
        fitted.coefficients += change_figures(name, rows)
    for name, rows in _by(records, "set", "tool changes"):
        fitted.coefficients += first_part_figures(name, rows)
    for name, rows in _by(records, "set", "gauge readings"):
        fitted.coefficients += trend_figures(name, rows, "roughness", "µm")
        fitted.coefficients += trend_figures(name, rows, "size error", "µm")
    _fit_two_figures(fitted, records, works)
    for name, rows in _by(records, "gauge", "gauge study"):
        coefficients, sentences = gauge_study(name or "gauge", rows)
        fitted.coefficients += coefficients
        fitted.sentences += sentences
    for name, rows in _by(records, "machine", "stoppages"):
        yield name
        coefficients, asides, fitted.times[name] = machine_times(name, rows)
        fitted.coefficients += coefficients
        fitted.asides += asides
    fitted.seen += seen_in(records)


def _fit_two_figures(fitted: Fitted, records: Records, works: Works | None) -> None:
    """Castings, regrinds, offset practice, counts."""
    for name, rows in _by(records, "feature", "castings"):
        fitted.coefficients += casting_figures(name, rows)
    for name, rows in _by(records, "set", "regrinds"):
        fitted.coefficients += regrind_figures(name, rows, limit_of(works, name))
    for name, rows in _by(records, "gauge", "offsets"):
        fitted.coefficients += offset_figures(name or "gauge", rows)
    for name, rows in _by(records, "machine", "counts"):
        fitted.coefficients += count_figures(name, rows)


def limit_of(works: Works | None, name: str) -> float:
    """Wear land at the end of life of a set, mm: the scenario's, its grade's, or the usual one."""
    grade = None if works is None else grade_of(works, name)
    own_limit = works.cutters[name].wear_limit if works is not None and name in works.cutters else None
    return own_limit or (grade.wear_limit_mm if grade is not None else USUAL_LAND_MM)


def _by(records: Records, column: str, *kinds: str) -> Iterator[tuple[str, list[Record]]]:
    """Rows of some kinds by what stands in one column, in the order in which it comes up."""
    named: dict[str, list[Record]] = {}
    for row in records.of(*kinds):
        named.setdefault(row.name(column), []).append(row)
    yield from named.items()


def _fit_set(fitted: Fitted, name: str, rows: list[Record], works: Works | None) -> None:
    """Fit the edge life of one set: by its changes, else by readings of its wear land."""
    grade = None if works is None else grade_of(works, name)
    limit = limit_of(works, name)
    readings = [row for row in rows if row.kind == "gauge readings"]
    curve = wear_curve(name, readings, limit)
    if curve is not None:
        fitted.curves[name] = curve
        fitted.coefficients += curve.coefficients
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
