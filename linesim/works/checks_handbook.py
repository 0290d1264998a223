"""Whether materials, grades and abrasives are in the handbook, and whether changes to it change something."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import fields
from typing import Any

from linesim import handbook
from linesim.errors import said
from linesim.works.report import Report
from linesim.works.walks import CutPlace, cuts_of

__all__ = ["check_handbook", "known_names"]

_ABRASIVE = ("honing", "grinding")
_RECORDS: Mapping[str, type[Any]] = {
    "materials": handbook.Material,
    "grades": handbook.Grade,
    "abrasives": handbook.Abrasive,
}
_NAMES: Mapping[str, Callable[[], list[str]]] = {
    "materials": lambda: list(handbook.materials()),
    "grades": lambda: list(dict.fromkeys(name for name, _ in handbook.grades())),
    "abrasives": lambda: list(handbook.abrasives()),
}
_BESIDES = {"name", "sources", "strengths"}


def known_names(kind: str) -> list[str]:
    """Return the names that the handbook has of one kind.

    Parameters
    ----------
    kind : str
        materials, grades or abrasives.

    Returns
    -------
    list of str

    >>> "EN-GJL-250" in known_names("materials")
    True
    """
    return _NAMES[kind]()


def check_handbook(report: Report) -> None:
    """Look up what the scenario takes from the handbook, and what it changes in it.

    Parameters
    ----------
    report : Report
        Takes what is found.
    """
    for line_name, line in report.works.lines.items():
        if line.material is not None:
            names = _names(report, "materials")
            report.known(("lines", line_name, "material"), line.material, names, "a material of the handbook")
    _check_grades(report)
    for kind in _RECORDS:
        for name in getattr(report.works.handbook, kind):
            _check_change(report, kind, name)


def _names(report: Report, kind: str) -> list[str]:
    """Return the handbook's names with those that the scenario adds."""
    return list(dict.fromkeys([*getattr(report.works.handbook, kind), *known_names(kind)]))


def _check_grades(report: Report) -> None:
    """A cutter's grade is known: an abrasive where it hones or grinds, else a cutter grade for the part's material."""
    cutters = report.works.cutters
    cuts = [at for at in cuts_of(report.works) if at.cut.cutter in cutters]
    for at in cuts:
        _check_grade(report, at, cutters[at.cut.cutter].grade)
    both = [*_names(report, "grades"), *_names(report, "abrasives")]
    for name in cutters.keys() - {at.cut.cutter for at in cuts}:
        grade = cutters[name].grade
        if grade is not None:
            report.known(("cutters", name, "grade"), grade, both, "a grade or an abrasive of the handbook")


def _check_grade(report: Report, at: CutPlace, grade: str | None) -> None:
    """Look up the grade of a cutter for one of the cuts that it makes."""
    path = ("cutters", at.cut.cutter, "grade")
    if grade is None:
        return
    if at.cut.process in _ABRASIVE:
        report.known(path, grade, _names(report, "abrasives"), "an abrasive of the handbook")
    elif report.known(path, grade, _names(report, "grades"), "a cutter grade of the handbook"):
        _check_family(report, at.cut.cutter, grade, at.at.line.material)


def _check_family(report: Report, cutter: str, grade: str, material: str | None) -> None:
    """The handbook has figures of a grade for the family of the part's material."""
    families = {family for name, family in handbook.grades() if name == _base(report, "grades", grade)}
    family = _family(report, material)
    if families and family is not None and family not in families:
        listed = ", ".join(sorted(families))
        text = f"{said(grade)} has no figures for {family} ({material}); it has them for {listed}"
        report.add(("cutters", cutter, "grade"), text)


def _base(report: Report, kind: str, name: str) -> str:
    """Return the handbook's own name behind one that the scenario may have added."""
    change = getattr(report.works.handbook, kind).get(name, {})
    return str(change.get("based_on", name))


def _family(report: Report, material: str | None) -> str | None:
    """Return the family of a material, if both are known."""
    if material is None:
        return None
    entry = handbook.materials().get(_base(report, "materials", material))
    own = report.works.handbook.materials.get(material, {}).get("family")
    return own if isinstance(own, str) else (entry.family if entry is not None else None)


def _check_change(report: Report, kind: str, name: str) -> None:
    """A change is to an entry of the handbook, or makes a new one based on such an entry."""
    path = ("handbook", kind, name)
    change = getattr(report.works.handbook, kind)[name]
    if "based_on" in change:
        report.known((*path, "based_on"), str(change["based_on"]), known_names(kind), f"one of the handbook's {kind}")
    else:
        report.known(path, name, known_names(kind), f"one of the handbook's {kind}, and has no entry based_on")
    items = {item.name: item.type for item in fields(_RECORDS[kind]) if item.name not in _BESIDES}
    for item, value in change.items():
        known = item == "based_on" or report.known((*path, item), item, items, "a figure of the handbook")
        number = items.get(item) in ("float", float)
        if known and number == isinstance(value, str):
            report.add((*path, item), f"{said(value)} was found; {'a number' if number else 'a text'} was expected")
