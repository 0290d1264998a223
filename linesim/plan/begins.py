"""How a run begins that does not begin from nothing: used edges, parts that wait, sets in the crib, machines down."""

from __future__ import annotations

from dataclasses import replace
from typing import NamedTuple

import numpy as np

from linesim.plan.magazines import mounted_sets
from linesim.plan.mounted import PlannedSet
from linesim.plan.plan import Plan
from linesim.plan.tables import Begins
from linesim.works.model import Works
from linesim.works.now import Now, OperationNow, of_machine

__all__ = ["standing_as_now"]


class _Edge(NamedTuple):
    """What a mounted set has done."""

    parts: int
    share_per_part: float
    min_per_part: float


def standing_as_now(works: Works, plan: Plan) -> Plan:
    """The plan with what its run begins from; the same one where it begins from new edges and an empty line.

    Parameters
    ----------
    works, plan : Works, Plan
        The plan is one of the works.
    """
    if works.now is None:
        return plan
    machines, mounts, cuts = len(plan.machines.operation), len(plan.mounts.machine), len(plan.cuts.feature)
    begins = Begins(
        parts=np.zeros(mounts, dtype=np.int64),
        share_per_part=np.zeros(mounts),
        min_per_part=np.zeros(mounts),
        is_corrected=np.isin(np.arange(cuts), plan.gauges.corrects_cut).astype(np.int64),
        down_min=np.zeros(machines),
        warmth=np.zeros(machines),
        waiting=np.zeros(len(plan.operations.line), dtype=np.int64),
        sharp=np.zeros(len(plan.kinds.sets), dtype=np.int64),
        at_grinder=np.zeros(len(plan.kinds.sets), dtype=np.int64),
    )
    named = [(line, name) for line, row in works.lines.items() for name in row.operations]
    for number, (line, name) in enumerate(named):
        now = works.now.lines.get(line, {}).get(name)
        if now is not None:
            _stand_operation(plan, begins, number, now)
    _stand_sets(works, works.now, plan, begins)
    return replace(plan, begins=begins)


def _stand_operation(plan: Plan, begins: Begins, number: int, now: OperationNow) -> None:
    first, end = int(plan.operations.first_machine[number]), int(plan.operations.end_machine[number])
    begins.waiting[number] = now.waiting
    begins.warmth[first:end] = now.warm
    for machine in range(first, end):
        begins.down_min[machine] = of_machine(now.down, machine - first)
        for mount in range(int(plan.machines.first_mount[machine]), int(plan.machines.end_mount[machine])):
            parts = now.edges.get(plan.names.kinds[plan.mounts.kind[mount]], 0)
            slot = mount - int(plan.machines.first_mount[machine])
            begins.parts[mount] = of_machine(parts, machine - first)
            of = PlannedSet(plan, number, slot)
            begins.share_per_part[mount] = 1.0 / of.parts_per_edge
            begins.min_per_part[mount] = of.minutes_per_part


def _stand_sets(works: Works, now: Now, plan: Plan, begins: Begins) -> None:
    """Sets that are not mounted; what is neither sharp nor at the grinder is on order."""
    spare = np.maximum(plan.kinds.sets - mounted_sets(plan), 0)
    begins.sharp[:] = spare
    for kind, name in enumerate(works.cutters):
        of = now.sets.get(name)
        if of is not None:
            begins.at_grinder[kind] = of.at_grinder
            begins.sharp[kind] = spare[kind] - of.at_grinder - of.ordered
