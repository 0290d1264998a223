"""What a run begins with that does not begin from new edges and an empty line."""

from __future__ import annotations

import numpy as np

from linesim.fast import steps
from linesim.fast.arrays import Arrays

__all__ = ["lay_beginning"]


def lay_beginning(layout: Arrays) -> None:
    """Put into mounts and machines what the kernel makes of it as it begins."""
    plan, begins = layout.plan, layout.plan.begins
    waiting = np.zeros(len(plan.operations.line) + 1, dtype=np.int64)
    corrected = np.zeros(len(plan.cuts.feature) + 1, dtype=np.int64)
    layout.world.begins = int(begins is not None)
    _stand_by_calendar(layout)
    if begins is not None:
        waiting[:-1], corrected[:-1] = begins.waiting, begins.is_corrected
        mounts, machines = layout.arrays["mounts"], layout.arrays["machines"]
        count, real = len(begins.parts), len(begins.down_min)
        mounts["parts"][:count], mounts["life_share"][:count] = begins.parts, begins.share_per_part
        mounts["cut_min"][:count] = begins.min_per_part
        machines["left_min"][:real], machines["warmth"][:real] = begins.down_min, begins.warmth
        machines["step"][:real][begins.down_min > 0.0] = steps.DOWN
        _stand_sets(layout)
    layout.keep("waiting", waiting)
    layout.keep("corrected", corrected)


def _stand_by_calendar(layout: Arrays) -> None:
    """Machines are as warm as is said today, and their magazines were renewed in the shift that runs."""
    plan, machines, real = layout.plan, layout.arrays["machines"], len(layout.plan.machines.operation)
    machines["renewed_min"][:real] = plan.calendar_min
    machines["began_cold"][:real] = plan.calendar_min // plan.holdings.cold_min[plan.machines.operation]


def _stand_sets(layout: Arrays) -> None:
    """Of the sets of each kind that are not mounted the first are sharp, the next at the grinder, the last on order."""
    plan, begins = layout.plan, layout.plan.begins
    assert begins is not None
    sets = layout.arrays["sets"][: int(layout.world.n_sets)]
    first = int(plan.mounts.sisters.sum())
    for kind in range(len(plan.kinds.sets)):
        spare = first + np.flatnonzero(sets["kind"][first:] == kind)
        sharp, ground = int(begins.sharp[kind]), int(begins.at_grinder[kind])
        sets["step"][spare[sharp : sharp + ground]] = steps.AT_GRINDER
        sets["step"][spare[sharp + ground :]] = steps.ARRIVED
