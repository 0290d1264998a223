"""Counts by part type, whole for every line: those of a line whose parts are all alike are the line's own."""

from __future__ import annotations

import numpy as np

from linesim.plan.plan import Plan
from linesim.plan.tables import Floats, Ints
from linesim.works.model import Works

__all__ = ["heads_of_types", "of_types"]


def of_types(plan: Plan, of_line: Ints | Floats, of_type: Ints | Floats) -> Floats:
    """Counts of all part types.

    Parameters
    ----------
    plan : Plan
        What was run.
    of_line : array, (lines,)
        What was counted for each line.
    of_type : array, (part types,)
        What was counted for each type of the lines that make several.

    Returns
    -------
    array of float, (part types,)
    """
    if len(of_line) == len(of_type):
        return of_line.astype(np.float64)
    first, count = plan.lines.first_type, plan.lines.end_type - plan.lines.first_type
    counts = of_type.astype(np.float64)
    counts[first[count == 1]] = of_line[count == 1]
    return counts


def heads_of_types(works: Works, what: str) -> list[tuple[str, str]]:
    """Line, and what it is of which type, of all part types in the order of the plan."""
    return [
        (name, f"{what}, {kind}" if len(line.parts) > 1 else what)
        for name, line in works.lines.items()
        for kind in tuple(line.parts) or ("",)
    ]
