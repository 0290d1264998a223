"""What each kind of input can be of, in a works, and the figures there as they stand."""

from __future__ import annotations

import math
from collections.abc import Callable

from linesim.handbook import Abrasive, Grade
from linesim.plan.coefficients import coefficients_of
from linesim.plan.times import mean_minutes
from linesim.works import Works
from linesim.works.crib import Breaking
from linesim.works.features import Feature
from linesim.works.walks import cuts_of, mounted, operations_of

__all__ = [
    "breaking_cutters",
    "breaking_of",
    "chipped_operations",
    "dulling_cutters",
    "features_that",
    "graded_cutters",
    "materials_cut",
    "mounted_cutters",
    "priced_cutters",
    "roughening_cutters",
    "stiff_cuts",
    "timed_cutters",
    "wear_entry",
]


def mounted_cutters(works: Works) -> list[str]:
    """Cutters that stand on a machine, each once."""
    return list(dict.fromkeys(mount.cutter for mount in mounted(works)))


def dulling_cutters(works: Works) -> list[str]:
    """Cutters that make described cuts, or have a life of their own."""
    cutting = {at.cut.cutter for at in cuts_of(works)}
    return [name for name in mounted_cutters(works) if name in cutting or works.cutters[name].life_min is not None]


def graded_cutters(works: Works) -> list[str]:
    """Cutters that make cuts with a grade, not an abrasive."""
    return [name for name in dulling_cutters(works) if isinstance(wear_entry(works, name), Grade)]


def roughening_cutters(works: Works) -> list[str]:
    """Cutters of the handbook that leave more roughness as they dull."""
    return [name for name in dulling_cutters(works) if wear_entry(works, name) is not None]


def breaking_cutters(works: Works) -> list[str]:
    """Cutters whose edges can break."""
    return [name for name in dulling_cutters(works) if math.isfinite(breaking_of(works, name).scale)]


def priced_cutters(works: Works) -> list[str]:
    """Cutters that cost something."""
    return [name for name in mounted_cutters(works) if works.cutters[name].price > 0.0]


def timed_cutters(works: Works) -> list[str]:
    """Cutters whose change takes time."""
    return [name for name in mounted_cutters(works) if mean_minutes(works.cutters[name].change) > 0.0]


def stiff_cuts(works: Works) -> list[str]:
    """Operations with cuts, by line and name."""
    return [f"{at.line_name} / {at.name}" for at in operations_of(works) if at.operation.strokes]


def chipped_operations(works: Works) -> list[str]:
    """Operations under whose part a chip can lie, by line and name."""
    return [f"{at.line_name} / {at.name}" for at in operations_of(works) if at.operation.chips is not None]


def features_that(works: Works, has: Callable[[Feature], bool]) -> list[str]:
    """Features that answer a question with yes, by line and name."""
    return [
        f"{line} / {name}" for line, of in works.lines.items() for name, feature in of.features.items() if has(feature)
    ]


def materials_cut(works: Works) -> list[str]:
    """Materials of the lines that are cut, each once."""
    return list(dict.fromkeys(str(at.at.line.material) for at in cuts_of(works)))


# --- figures as they stand -----------------------------------------------------------------------------------------


def wear_entry(works: Works, cutter: str) -> Grade | Abrasive | None:
    """The handbook's entry for how a cutter wears at its first cut; None if it makes none."""
    at = next((at for at in cuts_of(works) if at.cut.cutter == cutter), None)
    if at is None:
        return None
    coefficients = coefficients_of(works)
    name = str(works.cutters[cutter].grade)
    if name in coefficients.abrasives:
        return coefficients.abrasives[name]
    return coefficients.grade(name, str(at.at.line.material))


def breaking_of(works: Works, cutter: str) -> Breaking:
    """When an edge breaks: the cutter's own law or its grade's."""
    of = works.cutters[cutter].breaking
    if isinstance(of, Breaking):
        return of
    entry = None if of is None else wear_entry(works, cutter)
    if entry is None:
        return Breaking.model_construct(shape=1.0, scale=math.inf)
    return Breaking.model_construct(shape=entry.break_shape, scale=entry.break_scale)
