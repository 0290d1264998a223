"""Handbook coefficients with the shop's own laid over them."""

from __future__ import annotations

from dataclasses import replace
from typing import Any, TypeVar

from cachetools import LRUCache

from linesim.handbook import Abrasive, Grade, Material, abrasives, grades, materials
from linesim.handbook.entries import Entry
from linesim.handbook.former import FORMER
from linesim.works.handbook_changes import HandbookChanges
from linesim.works.model import Works

__all__ = ["OWN", "Coefficients", "coefficients_of"]

E = TypeVar("E", bound=Entry)
Changes = dict[str, dict[str, float | str]]

OWN = "the scenario's own figure"
"""Source of a figure that the scenario gives under ``handbook:``."""


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
    """Materials, grades and abrasives as they hold for one works; `coefficients_of` keeps them at hand.

    Parameters
    ----------
    changes : HandbookChanges
        What is laid over the handbook.
    """

    def __init__(self, changes: HandbookChanges) -> None:
        self.materials: dict[str, Material] = _with_changes(materials(), changes.materials)
        self.abrasives: dict[str, Abrasive] = _with_changes(abrasives(), changes.abrasives)
        self._grades: dict[tuple[str, str], Grade] = dict(grades())
        for name, figures in changes.grades.items():
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


_RECENT: LRUCache[int, tuple[HandbookChanges, Coefficients]] = LRUCache(16)
"""By identity, together with the changes, so that the identity stays theirs."""


def coefficients_of(works: Works) -> Coefficients:
    """Materials, grades and abrasives as they hold for one works, worked out once for all that ask.

    Parameters
    ----------
    works : Works
        Whose ``handbook`` section is laid over the handbook.
    """
    changes = works.handbook
    recent = _RECENT.get(id(changes))
    if recent is None or recent[0] is not changes:
        recent = _RECENT[id(changes)] = (changes, Coefficients(changes))
    return recent[1]
