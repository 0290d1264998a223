"""Handbook coefficients with the shop's own laid over them."""

from __future__ import annotations

from dataclasses import replace
from typing import Any, TypeVar

from linesim.handbook import Abrasive, Grade, Material, abrasives, grades, materials
from linesim.handbook.entries import Entry
from linesim.handbook.former import FORMER
from linesim.works.model import Works

__all__ = ["Coefficients"]

E = TypeVar("E", bound=Entry)
Changes = dict[str, dict[str, float | str]]

OWN = "the scenario's own figure"


def _changed(entry: E, changes: dict[str, float | str]) -> E:
    """An entry with the shop's figures in place of the handbook's, and their source named as such."""
    figures: dict[str, Any] = {}
    for name, value in changes.items():
        former = FORMER.get(name) if isinstance(entry, Grade) else None
        if former is not None:
            figures |= {now: getattr(entry, now) * float(value) / former.usual for now in former.now}
        elif name != "based_on":
            figures[name] = value
    sources = {**entry.sources, **dict.fromkeys(figures, OWN)}
    return replace(entry, sources=sources, **figures)


def _with_changes(entries: dict[str, E], changes: Changes) -> dict[str, E]:
    """Entries by name, with changed ones and new ones based on others."""
    known = dict(entries)
    for name, figures in changes.items():
        base = str(figures.get("based_on", name))
        known[name] = replace(_changed(known[base], figures), name=name)
    return known


class Coefficients:
    """Materials, grades and abrasives as they hold for one works.

    Parameters
    ----------
    works : Works
        Whose ``handbook`` section is laid over the handbook.
    """

    def __init__(self, works: Works) -> None:
        self.materials: dict[str, Material] = _with_changes(materials(), works.handbook.materials)
        self.abrasives: dict[str, Abrasive] = _with_changes(abrasives(), works.handbook.abrasives)
        self._grades: dict[tuple[str, str], Grade] = dict(grades())
        for name, figures in works.handbook.grades.items():
            base = str(figures.get("based_on", name))
            for (grade, family), entry in list(self._grades.items()):
                if grade == base:
                    self._grades[name, family] = replace(_changed(entry, figures), name=name)

    def grade(self, name: str, material: str) -> Grade | None:
        """Figures of a cutter grade on a material; None where the handbook has none."""
        return self._grades.get((name, self.materials[material].family))

    def grade_families(self, name: str) -> list[str]:
        """Families of materials for which a grade has figures."""
        return sorted(family for grade, family in self._grades if grade == name)
