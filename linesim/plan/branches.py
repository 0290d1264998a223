"""Branches that parts take by chance: which numbers of a choice lead to an operation, and how many parts come there."""

from __future__ import annotations

import numpy as np
import numpy.typing as npt

from linesim.plan.column_types import NONE
from linesim.plan.type_tables import ALL_TYPES, Mixes
from linesim.works.model import Line
from linesim.works.operations import Operation

__all__ = ["branch_columns", "branch_share", "is_passed_by"]


def branch_columns(line: Line, operation: Operation, first_fork: int) -> dict[str, float]:
    """Columns of an operation on its branch; ``first_fork`` is the number of the first choice of its line."""
    for fork, branches in enumerate(line.branches.values()):
        before = 0.0
        for name, share in branches.items():
            if name == operation.branch:
                return {"fork": first_fork + fork, "share_from": before, "share_to": before + share}
            before += share
    return {"fork": NONE, "share_from": 0.0, "share_to": 1.0}


def branch_share(mixes: Mixes, number: int) -> float:
    """Share of the parts that take the branch of an operation; 1 where there is none."""
    return float(mixes.share_to[number] - mixes.share_from[number])


def is_passed_by(mixes: Mixes) -> npt.NDArray[np.bool_]:
    """Operations that some parts pass by, because of their type or their branch."""
    passed: npt.NDArray[np.bool_] = (mixes.types != ALL_TYPES) | (mixes.fork != NONE)
    return passed
