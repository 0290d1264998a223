"""Part types at the desk: minutes of each type at each operation, what holds it back, and what a minute there earns."""

from __future__ import annotations

import math
from collections.abc import Hashable, Iterator
from typing import Any

import pandas as pd

from linesim.desk.sets import minutes_by_type, probing_minutes
from linesim.desk.upkeep import upkeep_minutes
from linesim.desk.ways import way_per_hour
from linesim.errors import quoted
from linesim.plan.plan import Plan
from linesim.plan.type_means import casting_shares, changing_of, share_cut, visits_by_type
from linesim.plan.type_tables import Sequence
from linesim.words import keep
from linesim.works.model import Works
from linesim.works.types_of import casting_prices, type_names, worths
from linesim.works.walks import OperationPlace, operations_of

__all__ = ["TYPE_COLUMNS", "TYPE_MINUTE_COLUMNS", "on_part_types", "type_constraint_table", "type_minute_table"]

TYPE_MINUTE_COLUMNS = ["line", "part_type", "operation", "minutes_per_part", "parts_per_hour", "way_per_hour"]
"""Columns of the table of minutes; changeovers are not in them, as a line that makes one type alone has none."""

TYPE_COLUMNS = [
    "line", "part_type", "share", "operation", "parts_per_hour", "minutes_per_part", "margin", "constraint_min",
    "margin_per_constraint_hour",
]  # fmt: skip
"""Columns of the table of types: the operation that would hold the type back if the line made nothing else, with its
pace; ``margin`` is worth less casting, ``constraint_min`` the minutes of a part at the operation that holds back the
mix, its machines together."""

_MUCH = 0.1
"""Share of an operation's minutes that changeovers may take before it is remarked upon (common practice)."""


def type_minute_table(works: Works, plan: Plan, sets: pd.DataFrame) -> pd.DataFrame:
    """One row for each part type and operation to which it comes, of lines that make several.

    Parameters
    ----------
    works : Works
        The checked scenario.
    plan : Plan
        Its plan.
    sets : pandas.DataFrame
        The desk's table of sets.

    Returns
    -------
    pandas.DataFrame
        Columns `TYPE_MINUTE_COLUMNS`, minutes of one machine, parts per hour of all of them if no other type came.
    """
    rows = [
        row
        for number, at in enumerate(operations_of(works))
        if len(at.line.parts) > 1
        for row in _of_operation(plan, number, at, sets)
    ]
    return pd.DataFrame(rows, columns=TYPE_MINUTE_COLUMNS)


def _of_operation(plan: Plan, number: int, at: OperationPlace, sets: pd.DataFrame) -> Iterator[dict[str, Any]]:
    """The types that come to an operation."""
    handling, cutting, gauging = minutes_by_type(plan, number, at.operation)
    here = visits_by_type(plan, number)
    for kind, name in enumerate(type_names(at.line)):
        if not here[kind]:
            continue
        minutes = handling + float(cutting[kind] + gauging[kind]) + _set_minutes(plan, number, at, kind, sets)
        minutes += probing_minutes(at.operation)
        minutes += upkeep_minutes(plan, number, at.operation, float(cutting[kind]))
        machines = at.operation.machines
        yield {
            "line": at.line_name, "part_type": name, "operation": at.name, "minutes_per_part": minutes,
            "parts_per_hour": 60.0 * machines / minutes if minutes > 0.0 else math.inf,
            "way_per_hour": way_per_hour(plan, number, machines, minutes),
        }  # fmt: skip


def _set_minutes(plan: Plan, number: int, at: OperationPlace, kind: int, sets: pd.DataFrame) -> float:
    """Minutes for changes, looks and first pieces of the sets that cut a type, for each part of it."""
    rows = sets[(sets["line"] == at.line_name) & (sets["operation"] == at.name)].to_dict(orient="records")
    first = int(plan.machines.first_mount[plan.operations.first_machine[number]])
    columns = ("change_min_per_part", "look_min_per_part", "first_piece_min_per_part")
    return sum(
        float(sum(row[name] for name in columns))
        for slot, row in enumerate(rows)
        if int(plan.mounts.types[first + slot]) >> kind & 1
    )


def type_constraint_table(works: Works, plan: Plan, minutes: pd.DataFrame, constraints: pd.DataFrame) -> pd.DataFrame:
    """What holds back each part type by itself, and what a minute of the mix's constraint earns with it.

    Parameters
    ----------
    works, plan : Works, Plan
        The checked scenario and its plan.
    minutes, constraints : pandas.DataFrame
        The desk's tables of minutes by type, and of the constraint of each line.

    Returns
    -------
    pandas.DataFrame
        Columns `TYPE_COLUMNS`; the margin per hour of the constraint is infinite for a type that passes it by.
    """
    holds = constraints.set_index("line")["operation"].to_dict()
    rows = []
    for number, (line_name, line) in enumerate(works.lines.items()):
        if len(line.parts) < 2:
            continue
        money = zip(worths(line), casting_prices(line), casting_shares(plan, number), strict=True)
        for name, (worth, price, share) in zip(line.parts, money, strict=True):
            own = minutes[(minutes["line"] == line_name) & (minutes["part_type"] == name)].to_dict(orient="records")
            if not own:
                continue
            first = min(own, key=_pace)
            machines = line.operations[str(holds[line_name])].machines
            held_min = sum(row["minutes_per_part"] for row in own if row["operation"] == holds[line_name]) / machines
            rows.append(
                {
                    "line": line_name, "part_type": name, "share": float(share), "operation": first["operation"],
                    "parts_per_hour": _pace(first), "minutes_per_part": 60.0 / _pace(first), "margin": worth - price,
                    "constraint_min": held_min,
                    "margin_per_constraint_hour": 60.0 * (worth - price) / held_min if held_min > 0.0 else math.inf,
                }
            )  # fmt: skip
    return pd.DataFrame(rows, columns=TYPE_COLUMNS)


def _pace(row: dict[Hashable, Any]) -> float:
    """Parts an hour that come and are done."""
    return float(min(row["parts_per_hour"], row["way_per_hour"]))


def on_part_types(works: Works, plan: Plan, operations: pd.DataFrame) -> Iterator[str]:
    """Changeovers that take much of an operation's minutes, and such as the desk can only bound.

    Parameters
    ----------
    works, plan : Works, Plan
        The checked scenario and its plan.
    operations : pandas.DataFrame
        The desk's table, row by row as the plan numbers them.

    Yields
    ------
    str
    """
    for number, at in enumerate(operations_of(works)):
        changing, row = changing_of(plan, number), operations.iloc[number]
        where, total = {"line": at.line_name, "operation": quoted(at.name)}, float(row["minutes_per_part"])
        if changing.is_most and changing.minutes > 0.0:
            yield keep("desk.chooses", **where, minutes=changing.minutes)
        elif plan.mixes.sequence[number] == Sequence.IN_TURN and plan.mixes.turn[number] < 0:
            yield keep("desk.while_it_waits", **where)
        elif changing.minutes > _MUCH * total:
            parts = share_cut(plan, number, -1) / changing.times
            yield keep("desk.changes_over", **where, minutes=changing.minutes, total=total, parts=parts)
