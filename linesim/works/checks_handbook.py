"""Whether materials, grades and abrasives are in the handbook, and whether changes to it make sense."""

from __future__ import annotations

from collections import ChainMap
from collections.abc import Callable, Collection, Mapping
from dataclasses import fields
from functools import cache
from typing import Any

from linesim import handbook
from linesim.errors import quoted
from linesim.handbook.former import FORMER
from linesim.works.nodes import Path
from linesim.works.ranges import RANGES
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
_WORDS: Mapping[str, tuple[str, ...]] = {"family": handbook.FAMILIES, "kind": _ABRASIVE}
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
            _check_known(report, ("lines", line_name, "material"), line.material, "materials", "a material")
    _check_grades(report)
    for kind in _RECORDS:
        for name in getattr(report.works.handbook, kind):
            _check_change(report, kind, name)


def _check_known(report: Report, path: Path, name: str, kind: str, meant: str) -> bool:
    """A name is that of an entry of the handbook, or of one that the scenario adds."""
    return report.known(path, name, _names(report, kind), f"{meant} of the handbook", ("handbook", kind))


def _names(report: Report, kind: str) -> Collection[str]:
    """Return the names that the scenario adds with the handbook's."""
    return ChainMap(_handbooks(kind), getattr(report.works.handbook, kind))


@cache
def _handbooks(kind: str) -> dict[str, None]:
    """Return the handbook's own names of one kind, to be looked up."""
    return dict.fromkeys(known_names(kind))


@cache
def _families_of(grade: str) -> frozenset[str]:
    """Return the families of materials for which the handbook has figures of a grade."""
    return frozenset(family for name, family in handbook.grades() if name == grade)


@cache
def _items_of(kind: str) -> dict[str, bool]:
    """Return the entries of a record of one kind, and whether each is a figure."""
    items = {item.name: item.type in ("float", float) for item in fields(_RECORDS[kind]) if item.name not in _BESIDES}
    return items | (dict.fromkeys(FORMER, True) if kind == "grades" else {})


def _check_grades(report: Report) -> None:
    """A cutter's grade is known: an abrasive where it hones or grinds, else a cutter grade for the part's material."""
    cutters = report.works.cutters
    cuts = [at for at in cuts_of(report.works) if at.cut.cutter in cutters]
    for at in cuts:
        _check_grade(report, at, cutters[at.cut.cutter].grade)
    both = ChainMap(*(dict.fromkeys(_names(report, kind)) for kind in ("abrasives", "grades")))
    cutting = {at.cut.cutter for at in cuts}
    for name in (name for name in cutters if name not in cutting):
        grade = cutters[name].grade
        added = any(report.is_gone(("handbook", kind, str(grade))) for kind in ("grades", "abrasives"))
        if grade is not None and not added:
            report.known(("cutters", name, "grade"), grade, both, "a grade or an abrasive of the handbook")


def _check_grade(report: Report, at: CutPlace, grade: str | None) -> None:
    """Look up the grade of a cutter for one of the cuts that it makes."""
    path = ("cutters", at.cut.cutter, "grade")
    if grade is None:
        return
    if at.cut.process in _ABRASIVE:
        if _check_known(report, path, grade, "abrasives", "an abrasive"):
            _check_kind(report, path, grade, at)
    elif _check_known(report, path, grade, "grades", "a cutter grade"):
        _check_family(report, at.cut.cutter, grade, at.at.line.material)


def _check_kind(report: Report, path: Path, grade: str, at: CutPlace) -> None:
    """A stone hones and a wheel grinds."""
    entry = handbook.abrasives().get(_base(report, "abrasives", grade))
    kind = report.works.handbook.abrasives.get(grade, {}).get("kind", entry.kind if entry is not None else None)
    if kind in _ABRASIVE and kind != at.cut.process:
        text = f"{quoted(grade)} is for {kind}, but the cut {quoted(at.name)} is {at.cut.process}"
        if not report.is_touched(("handbook", "abrasives", grade)):
            report.add(path, f"{text}; an abrasive for {at.cut.process} was expected")


def _check_family(report: Report, cutter: str, grade: str, material: str | None) -> None:
    """The handbook has figures of a grade for the family of the part's material."""
    base = _base(report, "grades", grade)
    families = _families_of(base) if base in _handbooks("grades") else frozenset()
    family = _family(report, material)
    if families and family in handbook.FAMILIES and family not in families:
        listed = ", ".join(sorted(families))
        text = f"{quoted(grade)} has no figures for {family} ({material}); it has them for {listed}"
        changes = [("handbook", "materials", str(material)), ("handbook", "grades", grade)]
        if not any(report.is_touched(change) for change in changes):
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
        report.known((*path, "based_on"), str(change["based_on"]), _handbooks(kind), f"one of the handbook's {kind}")
    elif not report.is_gone((*path, "based_on")):
        report.known(path, name, _handbooks(kind), f"one of the handbook's {kind}, and has no entry based_on")
    items = _items_of(kind)
    for item in (item for item in change if item != "based_on"):
        if report.known((*path, item), item, items, "a figure of the handbook"):
            _check_item(report, (*path, item), items[item], change[item])


def _check_item(report: Report, path: Path, is_figure: bool, value: float | str) -> None:
    """A figure is a number within its range, a word is a text, and a family is one that has grades."""
    name = str(path[-1])
    if is_figure == isinstance(value, str):
        report.add(path, f"{quoted(value)} was found; {'a number' if is_figure else 'a text'} was expected")
    elif isinstance(value, str):
        if name in _WORDS:
            report.known(path, value, _WORDS[name], "known here")
    elif not RANGES[name].holds(value):
        inverse = f"If it is 1/n, write {1.0 / value:.3g}." if name == "n" and value > 1.0 else ""
        report.add(path, f"{quoted(value)} is out of range; {name} must be {RANGES[name].in_words}", inverse)
