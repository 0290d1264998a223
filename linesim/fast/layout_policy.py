"""What a policy says, put into the records of a run: all else is alike under many policies and laid out once.

The layout is given a plan without this, so that it cannot lean on it unnoticed. What is not named here counts as no
policy's: plans that differ in it are laid out one by one.
"""

from __future__ import annotations

from dataclasses import fields, replace
from typing import Any

import numpy as np

from linesim.fast.arrays import Arrays, rows_of
from linesim.fast.rules import refuse_uncompiled
from linesim.fast.shortcuts import refuse_direct, sums_of_runs
from linesim.plan.plan import Plan
from linesim.plan.tables import Rules
from linesim.rules import RuleWay, kind_of

__all__ = ["OF_POLICY", "WRITTEN", "lay_policy", "without_policy", "works_key"]

OF_POLICY = ("lines", "machines", "mounts", "pools", "mount_plans", "cuts", "gauges")
"""The arrays that `lay_policy` looks at."""

_NOTHING: dict[str, Any] = {
    "policy": "", "digest": "", "rules": None, "own_rules": (), "group_past": None, "is_eager": False,
}  # fmt: skip
_COLUMNS: dict[str, tuple[str, ...]] = {
    "mounts": ("rule", "rezero_parts"),
    "cuts": ("aim_um", "rezero_aim_um"),
    "gauges": ("every", "correction_share", "dead_band_um"),
}
_KEPT_AS = {"mounts": "mount_plans", "cuts": "cuts", "gauges": "gauges"}
WRITTEN = frozenset().union(
    ("group_past", "is_eager", "has_looks", "picks", "is_plain", "is_direct"), Rules._fields, *_COLUMNS.values()
)
"""The fields of records that it writes."""
_FIELDS = tuple(field.name for field in fields(Plan) if field.name not in _NOTHING)


def without_policy(plan: Plan) -> Plan:
    """A plan without what is put in by `lay_policy`; to read it would fail."""
    less = {name: getattr(plan, name)._replace(**dict.fromkeys(names)) for name, names in _COLUMNS.items()}
    return replace(plan, **_NOTHING, **less)


def works_key(plan: Plan) -> tuple[int, ...]:
    """Says of two plans, for as long as both are there, whether they are one and the same `without_policy`."""
    less: list[Any] = []
    for name in _FIELDS:
        of = getattr(plan, name)
        if name in _COLUMNS:
            less += [each for column, each in zip(of._fields, of, strict=True) if column not in _COLUMNS[name]]
        else:
            less.append(of)
    return tuple(map(id, less))


def lay_policy(laid: Arrays) -> None:
    """Put what a policy says into records that are laid out without it."""
    plan, arrays = laid.plan, laid.arrays
    refuse_uncompiled(plan)
    laid.world.group_past, laid.world.is_eager = plan.group_past, int(plan.is_eager)
    laid.keep("rules", rows_of(plan.rules, Rules))
    for name, columns in _COLUMNS.items():
        table, rows = getattr(plan, name), laid.keep(_KEPT_AS[name], arrays[_KEPT_AS[name]].copy())
        for column in columns:
            rows[column][: len(table[0])] = getattr(table, column)
    arrays["mounts"]["rule"][: len(plan.mounts.rule)] = plan.mounts.rule
    _lay_looks(plan, arrays["machines"][: len(plan.machines.operation)])
    refuse_direct(plan, arrays["lines"], arrays["pools"])


def _lay_looks(plan: Plan, machines: Any) -> None:
    """Machines at which somebody looks at edges; where the load of a cutter is read, parts are counted one by one."""
    of_mounts, first, end = plan.rules.way[plan.mounts.rule], plan.machines.first_mount, plan.machines.end_mount
    looks = [kind_of(way).looks for way in plan.rules.way.tolist()]
    machines["has_looks"] = sums_of_runs(np.array(looks, dtype=bool)[plan.mounts.rule], first, end) > 0
    has_loads = sums_of_runs(of_mounts == RuleWay.LOAD, first, end) > 0
    machines["picks"] |= has_loads
    machines["is_plain"] *= ~has_loads
