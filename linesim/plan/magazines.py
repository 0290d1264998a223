"""From magazines as the scenario describes them to their rows in the plan, and what they hold."""

from __future__ import annotations

import numpy as np

from linesim.plan.columns import Rows
from linesim.plan.magazine_tables import Magazines
from linesim.plan.plan import Plan
from linesim.plan.tables import NONE, Ints
from linesim.plan.times import TimeTable
from linesim.works.operations import Operation

__all__ = ["add_magazine", "mounted_sets", "sisters_of"]


def add_magazine(rows: Rows[Magazines], operation: Operation, times: TimeTable) -> None:
    """Enter the row of one operation."""
    magazine = operation.magazine
    if magazine is None:
        rows.add(is_here=0, exchange_time=NONE, every_shift=0, used_up=0)
        return
    rows.add(
        is_here=1,
        exchange_time=times.add(magazine.exchange),
        every_shift=int(magazine.renewed == "every shift"),
        used_up=magazine.used_up or 0,
    )


def sisters_of(operation: Operation, kind: str) -> int:
    """Cutters of a kind on each machine of an operation, the one at work among them."""
    return 1 if operation.magazine is None else operation.magazine.of_kind(kind)


def mounted_sets(plan: Plan) -> Ints:
    """Sets of each kind that are on the machines as a run begins, (kinds,)."""
    counts = np.bincount(plan.mounts.kind, plan.mounts.sisters, minlength=len(plan.kinds.sets))
    return counts.astype(np.int64)
