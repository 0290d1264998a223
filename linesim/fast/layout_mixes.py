"""Part types in the records of lines, machines and pools, as they begin."""

from __future__ import annotations

import numpy as np

from linesim.fast import steps
from linesim.fast.arrays import AnyArray
from linesim.plan.branches import is_passed_by
from linesim.plan.plan import Plan
from linesim.plan.tables import NONE
from linesim.plan.type_tables import ALL_TYPES, Sequence

__all__ = ["is_one_way", "mix_lines", "mix_machines", "mix_pools"]


def mix_lines(plan: Plan, lines: AnyArray) -> None:
    """Which part types a line makes."""
    lines["first_type"], lines["end_type"] = plan.lines.first_type, plan.lines.end_type
    lines["has_types"] = plan.lines.end_type - plan.lines.first_type > 1


def mix_machines(plan: Plan, machines: AnyArray) -> None:
    """How machines choose and change over, and where parts go another way, or apart."""
    of, mixes = plan.machines.operation, plan.mixes
    has_types = (plan.lines.end_type - plan.lines.first_type)[plan.operations.line[of]] > 1
    is_mixed = (mixes.first_changeover[of] != NONE) | (mixes.sequence[of] != Sequence.OLDEST)
    machines["is_mixed"] = has_types & is_mixed | (mixes.sequence[of] == Sequence.MATCHED)
    machines["set_to"] = np.where(mixes.sequence[of] == Sequence.IN_TURN, 0, NONE)
    machines["is_new_turn"] = 1
    behind = np.append(is_passed_by(mixes), False)[of + 1]
    is_last = of + 1 == plan.lines.end_operation[plan.operations.line[of]]
    machines["forks"] = (~is_last & behind) | (mixes.takes_off[of] != NONE)
    for machine, (first, end) in enumerate(zip(plan.machines.first_mount, plan.machines.end_mount, strict=True)):
        machines["picks"][machine] = (plan.mounts.types[first:end] != ALL_TYPES).any()
    machines["fixed_min"][mixes.first_time[of] != NONE] = -1.0


def mix_pools(plan: Plan, pools: AnyArray) -> None:
    """Which of the parts in a buffer or a yard is taken."""
    of, way = pools["of"], pools["way"]
    is_buffer, is_yard = way == steps.BUFFER, way == steps.YARD
    pools["sequence"][is_buffer] = plan.mixes.sequence[of[is_buffer]]
    pools["sequence"][is_yard] = plan.mixes.sequence[plan.lines.first_operation[of[is_yard]]]


def is_one_way(plan: Plan, line: int) -> bool:
    """Whether every part of a line meets the same operations, strokes and minutes, the oldest first."""
    operations = slice(plan.lines.first_operation[line], plan.lines.end_operation[line])
    first, end = plan.operations.first_stroke[operations].min(), plan.operations.end_stroke[operations].max()
    mixes = plan.mixes
    is_plain = ~is_passed_by(mixes) & (mixes.sequence == Sequence.OLDEST) & (mixes.first_time == NONE)
    is_plain &= mixes.takes_off == NONE
    return bool(is_plain[operations].all() and (plan.strokes.types[first:end] == ALL_TYPES).all())
