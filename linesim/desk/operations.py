"""The table of operations: minutes per part, the pace of each by itself, and the constraint of each line."""

from __future__ import annotations

import math
from typing import Any

import pandas as pd

from linesim.desk.branches import by_branches
from linesim.desk.first_pieces import mastering_minutes_per_part
from linesim.desk.sets import cycle_minutes
from linesim.desk.upkeep import standing_minutes
from linesim.plan.plan import Plan
from linesim.works.model import Works
from linesim.works.operations import Operation

__all__ = ["OPERATION_COLUMNS", "constraint_table", "operation_table"]

OPERATION_COLUMNS = [
    "line",
    "operation",
    "about",
    "machines",
    "buffer",
    "handling_min",
    "cutting_min",
    "gauging_min",
    "cycle_min",
    "change_min",
    "look_min",
    "breakdown_min",
    "minutes_per_part",
    "parts_per_hour",
    "load_percent",
    "first_piece_min",
]
"""Columns of the table; minutes are those of one part on one machine, parts per hour of all machines.

Of an operation in a branch they are the mean over all parts of the line, so that those that pass it by count with 0
minutes. Gauging holds the mastering of the gauges, ``first_piece_min`` the machine's minutes for first pieces after
changes."""


def operation_table(works: Works, plan: Plan, sets: pd.DataFrame) -> pd.DataFrame:
    """Each operation taken by itself.

    Parameters
    ----------
    works : Works
        The checked scenario.
    plan : Plan
        Its plan, for the minutes of the strokes.
    sets : pandas.DataFrame
        The table of sets.

    Returns
    -------
    pandas.DataFrame
        Columns `OPERATION_COLUMNS`; the load is in per cent of that of the line's constraint.
    """
    named = [(line, name, answer) for line, of in works.lines.items() for name, answer in of.operations.items()]
    rows = [_row(plan, number, sets, *place) for number, place in enumerate(named)]
    table = by_branches(pd.DataFrame(rows, columns=OPERATION_COLUMNS), plan)
    fewest = table.groupby("line")["parts_per_hour"].transform("min")
    table["load_percent"] = 100.0 * (fewest / table["parts_per_hour"]).fillna(1.0)
    return table


def constraint_table(operations: pd.DataFrame) -> pd.DataFrame:
    """The operation that holds back each line: the fewest parts per hour, the first of equals.

    Parameters
    ----------
    operations : pandas.DataFrame
        The table of operations.

    Returns
    -------
    pandas.DataFrame
        Columns line, operation, parts_per_hour, minutes_per_part (of the line as a whole).
    """
    first = operations.groupby("line", sort=False)["parts_per_hour"].idxmin()
    table = operations.loc[first, ["line", "operation", "parts_per_hour"]].reset_index(drop=True)
    table["minutes_per_part"] = 60.0 / table["parts_per_hour"]
    return table


def _row(plan: Plan, number: int, sets: pd.DataFrame, line: str, name: str, operation: Operation) -> dict[str, Any]:
    """One operation."""
    cycle = cycle_minutes(plan, number, operation)
    cycle = cycle._replace(gauging=cycle.gauging + mastering_minutes_per_part(operation))
    own = sets[(sets["line"] == line) & (sets["operation"] == name)]
    change_min, look_min = float(own["change_min_per_part"].sum()), float(own["look_min_per_part"].sum())
    breakdown_min = standing_minutes(plan, number, operation, cycle.cutting)
    first_min = float(own["first_piece_min_per_part"].sum())
    total_min = sum(cycle) + change_min + look_min + breakdown_min + first_min
    return {
        "line": line,
        "operation": name,
        "about": operation.about,
        "machines": operation.machines,
        "buffer": operation.buffer,
        "handling_min": cycle.handling,
        "cutting_min": cycle.cutting,
        "gauging_min": cycle.gauging,
        "cycle_min": sum(cycle),
        "change_min": change_min,
        "look_min": look_min,
        "breakdown_min": breakdown_min,
        "minutes_per_part": total_min,
        "parts_per_hour": operation.machines * 60.0 / total_min if total_min > 0.0 else math.inf,
        "first_piece_min": first_min,
    }
