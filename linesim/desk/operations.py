"""The table of operations: minutes per part, the pace of each by itself, and the constraint of each line."""

from __future__ import annotations

import math
from typing import Any

import numpy as np
import pandas as pd

from linesim.desk.branches import by_branches
from linesim.desk.first_pieces import mastering_minutes_per_part
from linesim.desk.meeting import paces_together
from linesim.desk.sets import cycle_minutes, probing_minutes
from linesim.desk.upkeep import upkeep_minutes
from linesim.desk.ways import way_per_hour
from linesim.plan.plan import Plan
from linesim.plan.tables import Floats
from linesim.plan.type_means import casting_shares, changing_of, gauges_of, visits
from linesim.works.model import Works
from linesim.works.operations import Operation
from linesim.works.walks import OperationPlace, operations_of

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
    "changeover_min",
    "share_of_parts",
    "way_per_hour",
]
"""Columns of the table; minutes are those of one part on one machine, parts per hour of all machines.

Gauging holds the mastering of the gauges, ``first_piece_min`` the machine's minutes for first pieces after changes.
Of several part types, and of an operation in a branch, minutes are the mean over all parts of the line, those that pass
it by counted with 0: ``share_of_parts`` of them come there. ``way_per_hour`` is how many the way to it lets through.
"""


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
    stops = _stops(sets)
    rows = [_row(plan, number, stops, at) for number, at in enumerate(operations_of(works))]
    table = by_branches(pd.DataFrame(rows, columns=OPERATION_COLUMNS), plan)
    fewest = _pace(table).groupby(table["line"]).transform("min")
    table["load_percent"] = 100.0 * (fewest / table["parts_per_hour"]).fillna(1.0)
    return table


def _pace(operations: pd.DataFrame) -> pd.Series[float]:
    """Parts an hour that each operation can do, or that its way lets through if they are fewer."""
    return operations[["parts_per_hour", "way_per_hour"]].min(axis=1)


def constraint_table(works: Works, operations: pd.DataFrame) -> pd.DataFrame:
    """The operation that holds back each line: the fewest parts per hour, the first of equals.

    Parameters
    ----------
    works : Works
        The checked scenario.
    operations : pandas.DataFrame
        The table of operations.

    Returns
    -------
    pandas.DataFrame
        Columns line, operation, parts_per_hour, minutes_per_part (of the line as a whole); is_way: whether it is the
        way to the operation that holds the line back, and not its machines; held_by_line, together_per_hour: the line
        that is slower still among those that it meets (itself if none is), and the pace with it.
    """
    pace = _pace(operations)
    first = pace.groupby(operations["line"], sort=False).idxmin()
    table = operations.loc[first, ["line", "operation", "parts_per_hour"]].reset_index(drop=True)
    table["parts_per_hour"] = pace.loc[first].to_numpy()
    table["minutes_per_part"] = 60.0 / table["parts_per_hour"]
    table["is_way"] = (operations["way_per_hour"] < operations["parts_per_hour"]).loc[first].to_numpy()
    paces = dict(zip(table["line"], table["parts_per_hour"], strict=True))
    together = paces_together(works, paces)
    table["held_by_line"] = [together[line][0] for line in table["line"]]
    table["together_per_hour"] = [together[line][1] for line in table["line"]]
    return table


_STOPS = ("change", "look", "first_piece")
_Stops = dict[tuple[str, str], list[float]]


def _stops(sets: pd.DataFrame) -> _Stops:
    """By line and operation: minutes for each part of what its sets are stopped for, as in `_STOPS`."""
    minutes = sets[[f"{name}_min_per_part" for name in _STOPS]].to_numpy() * sets[["share_of_parts"]].to_numpy()
    rows: dict[tuple[str, str], list[int]] = {}
    for row, at in enumerate(zip(sets["line"], sets["operation"], strict=True)):
        rows.setdefault(at, []).append(row)
    return {at: np.nansum(minutes[of], axis=0).tolist() for at, of in rows.items()}


def _row(plan: Plan, number: int, stops: _Stops, at: OperationPlace) -> dict[str, Any]:
    """One operation."""
    operation, machines, share = at.operation, at.operation.machines, visits(plan, number)
    cycle = cycle_minutes(plan, number, operation)
    mastering = float(casting_shares(plan, int(plan.operations.line[number])) @ _mastering(plan, number, operation))
    handling, cutting, gauging = cycle.handling * share, cycle.cutting * share, cycle.gauging * share + mastering
    change_min, look_min, first_min = stops.get((at.line_name, at.name), [0.0] * len(_STOPS))
    look_min += probing_minutes(operation) * share
    breakdown_min = upkeep_minutes(plan, number, operation, cutting)
    changeover_min = changing_of(plan, number).minutes
    cycle_min = handling + cutting + gauging
    total_min = cycle_min + change_min + look_min + breakdown_min + first_min + changeover_min
    of_each = total_min / share if share > 0.0 else 0.0
    return {
        "line": at.line_name,
        "operation": at.name,
        "about": operation.about,
        "machines": machines,
        "buffer": operation.buffer,
        "handling_min": handling,
        "cutting_min": cutting,
        "gauging_min": gauging,
        "cycle_min": cycle_min,
        "change_min": change_min,
        "look_min": look_min,
        "breakdown_min": breakdown_min,
        "minutes_per_part": total_min,
        "parts_per_hour": machines * 60.0 / total_min if total_min > 0.0 else math.inf,
        "first_piece_min": first_min,
        "changeover_min": changeover_min,
        "share_of_parts": share,
        "way_per_hour": way_per_hour(plan, number, machines, of_each) / share if share > 0.0 else math.inf,
    }


def _mastering(plan: Plan, number: int, operation: Operation) -> Floats:
    """Mean minutes of mastering the gauges for each part, by type."""
    return gauges_of(plan, number, np.array(mastering_minutes_per_part(operation)))
