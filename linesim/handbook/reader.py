"""Reads the handbook's data files into records; each file is read once.

In the files a figure is a pair [value, key of its source], and each file lists its sources by key.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import fields
from functools import cache
from typing import Any, TypeVar

from linesim.errors import LinesimError
from linesim.handbook.entries import Abrasive, Entry, Grade, Material, Modulus, Stiffness
from linesim.yaml_text import data_of

__all__ = [
    "FAMILIES",
    "STRENGTHS",
    "Abrasive",
    "Grade",
    "HandbookError",
    "Material",
    "Modulus",
    "Stiffness",
    "abrasives",
    "grade_for",
    "grades",
    "machine_stiffness",
    "materials",
    "moduli",
]

FAMILIES = ("grey iron", "nodular iron", "malleable iron", "cast aluminium", "steel")
"""Families of materials under which grades are listed."""

STRENGTHS = ("read", "memory", "derived", "assumption")
"""How far a source goes, strongest first."""

E = TypeVar("E", bound=Entry)


class HandbookError(LinesimError):
    """A name that the handbook does not hold, or a data file that is not as described."""


def _page(name: str) -> dict[str, Any]:
    """Contents of one data file."""
    page: dict[str, Any] = data_of("linesim.handbook", "data", f"{name}.yaml")
    return page


def _entry(kind: type[E], name: str, items: Mapping[str, Any], sources: Mapping[str, Any]) -> E:
    """Record of a kind from the items of one entry: pairs become figures with a source, words stay words."""
    wanted = {field.name for field in fields(kind)} - {"name", "sources", "strengths"}
    if wanted != set(items):
        odd = ", ".join(sorted(wanted ^ set(items)))
        raise HandbookError(f'handbook entry "{name}": missing or unknown items: {odd}. Each of these once is needed.')
    pairs = {key: item for key, item in items.items() if isinstance(item, list)}
    unknown = sorted({key for _, key in pairs.values()} - set(sources))
    if unknown:
        raise HandbookError(f'handbook entry "{name}": no such source: {", ".join(unknown)}. List it under sources.')
    values = {key: float(item[0]) if key in pairs else item for key, item in items.items()}
    texts = {key: str(sources[source]["text"]) for key, (_, source) in pairs.items()}
    strengths = {key: str(sources[source]["strength"]) for key, (_, source) in pairs.items()}
    return kind(name=name, sources=texts, strengths=strengths, **values)


def entries_in(kind: type[E], page_name: str, section: str, sources: str = "sources") -> dict[str, E]:
    """All entries of one section of a data file, by name; ``sources`` is the section that has their sources."""
    page = _page(page_name)
    return {name: _entry(kind, name, items, page[sources]) for name, items in page[section].items()}


@cache
def _materials() -> dict[str, Material]:
    """Materials by name, read once."""
    return entries_in(Material, "materials", "materials")


@cache
def _abrasives() -> dict[str, Abrasive]:
    """Abrasives by name, read once."""
    return entries_in(Abrasive, "abrasives", "abrasives")


@cache
def _machines() -> dict[str, Stiffness]:
    """Stiffness of kinds of machine by name, read once."""
    return entries_in(Stiffness, "stiffness", "machines")


@cache
def _moduli() -> dict[str, Modulus]:
    """Moduli by material, read once."""
    return entries_in(Modulus, "stiffness", "moduli")


@cache
def _grades() -> dict[tuple[str, str], Grade]:
    """Grades by name and family, read once, each family's changes laid over the grade's own figures."""
    page = _page("grades")
    return {
        (name, family): _entry(Grade, name, {**grade["figures"], **changes, "family": family}, page["sources"])
        for name, grade in page["grades"].items()
        for family, changes in grade["families"].items()
    }


def materials() -> dict[str, Material]:
    """Materials of parts by the name that scenarios use.

    Returns
    -------
    dict of str to Material

    >>> materials()["EN-GJL-250"].kc11_n_mm2
    1160.0
    """
    return dict(_materials())


def grades() -> dict[tuple[str, str], Grade]:
    """Cutter grades by (grade, family of materials).

    Returns
    -------
    dict of tuple of str to Grade

    >>> grades()["carbide", "grey iron"].wear_limit_mm
    0.3
    """
    return dict(_grades())


def abrasives() -> dict[str, Abrasive]:
    """Honing stones and grinding wheels by name.

    Returns
    -------
    dict of str to Abrasive

    >>> abrasives()["honing stone 220"].kind
    'honing'
    """
    return dict(_abrasives())


def machine_stiffness() -> dict[str, Stiffness]:
    """Typical static stiffness of kinds of machine, N/µm, by name.

    Returns
    -------
    dict of str to Stiffness

    >>> machine_stiffness()["grinding machine"].low
    19.6
    """
    return dict(_machines())


def moduli() -> dict[str, Modulus]:
    """Moduli of elasticity of bars and parts by material.

    Returns
    -------
    dict of str to Modulus

    >>> moduli()["steel"].modulus_n_mm2
    206000.0
    """
    return dict(_moduli())


def grade_for(grade: str, material: str) -> Grade:
    """Figures of a cutter grade on a material.

    Parameters
    ----------
    grade : str
        A grade of the handbook, such as "coated carbide".
    material : str
        A material of the handbook, such as "EN-GJL-250".

    Returns
    -------
    Grade

    Raises
    ------
    HandbookError
        If either name is unknown, or the grade has no figures for that family of materials.

    >>> grade_for("high-speed steel", "EN-GJL-200").life_cv
    0.3
    """
    if material not in _materials():
        known = ", ".join(_materials())
        raise HandbookError(f'"{material}" is not a material of the handbook; one of these was expected: {known}.')
    family = _materials()[material].family
    if (grade, family) in _grades():
        return _grades()[grade, family]
    known = ", ".join(name for name, of in _grades() if of == family)
    raise HandbookError(f'"{grade}" has no figures for {family} ({material}); one of these was expected: {known}.')
