"""Where lines meet, in the records of lines and pools, as they begin."""

from __future__ import annotations

import numpy as np

from linesim.fast import steps
from linesim.fast.arrays import AnyArray, Arrays
from linesim.fast.fellows import MEETS, TAKEN_OFF
from linesim.plan.plan import Plan
from linesim.plan.tables import NONE

__all__ = ["meet_lines", "meets_another", "tell_where_lines_meet", "way_out"]


def meets_another(plan: Plan, line: int) -> bool:
    """Whether parts of a line are joined to others or taken off others, or others to or off them."""
    operations = np.flatnonzero(plan.operations.line == line)
    is_here = np.isin(plan.joins.operation, operations) | (plan.joins.line == line)
    takes_off = plan.mixes.takes_off
    return bool(is_here.any() or (takes_off[operations] != NONE).any() or (takes_off == line).any())


def meet_lines(plan: Plan, lines: AnyArray) -> None:
    """Say how each line meets another one."""
    lines["delivery"] = lines["meets"] = lines["join"] = NONE
    for number in range(len(lines)):
        is_taken_off = (plan.mixes.takes_off == number).any()
        lines["fellows"][number] = TAKEN_OFF if is_taken_off else MEETS * meets_another(plan, number)
    lines["join"][plan.joins.line] = np.arange(len(plan.joins.line))


def way_out(plan: Plan, line: int) -> tuple[int, int, int]:
    """The pool to which finished parts of a line go: out of the works, or to where they are joined."""
    join = np.flatnonzero(plan.joins.line == line)
    return (steps.DELIVERY, line, int(plan.joins.stock[join[0]])) if len(join) else (steps.DISPATCH, line, 0)


def tell_where_lines_meet(layout: Arrays, sources: AnyArray) -> None:
    """Tell each line that is joined its pool, and the one of the parts to which its own are joined."""
    joins, lines = layout.plan.joins, layout.arrays["lines"]
    lines["delivery"][joins.line] = lines["yard"][joins.line] + 1
    lines["meets"][joins.line] = sources[joins.operation]
