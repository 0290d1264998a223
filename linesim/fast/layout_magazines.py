"""Magazines as they begin: the sets at work and their sisters."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

import numpy as np

from linesim.fast.arrays import AnyArray, Arrays
from linesim.fast.memory import records
from linesim.fast.state import Sister

__all__ = ["lay_sisters", "mount_of_claim"]


def lay_sisters(layout: Arrays, at_work: AnyArray) -> AnyArray:
    """Number the sets on the machines, each mount's set at work before its sisters.

    Parameters
    ----------
    layout : Arrays
        Of the run.
    at_work : array of int, (mounts,)
        The mounts in the order in which the floor sets them up.

    Returns
    -------
    array of int, (sets,)
        The mount of each set.
    """
    plan, mounts = layout.plan, layout.arrays["mounts"]
    count = len(plan.mounts.kind)
    spare = plan.mounts.sisters - 1
    mounts["n_sisters"][:count], mounts["first_sister"][:count] = spare, np.cumsum(spare) - spare
    ends = np.cumsum(plan.mounts.sisters[at_work])
    mounts["cutter_set"][at_work] = ends - plan.mounts.sisters[at_work]
    sisters = layout.keep("sisters", records(Sister, int(spare.sum())))[: int(spare.sum())]
    sisters["mount"] = np.repeat(np.arange(count), spare)
    rank = np.arange(len(sisters)) - mounts["first_sister"][sisters["mount"]]
    sisters["cutter_set"] = mounts["cutter_set"][sisters["mount"]] + 1 + rank
    machines = layout.arrays["machines"]
    machines["has_magazine"] = plan.magazines.is_here[plan.machines.operation]
    return np.repeat(at_work, plan.mounts.sisters[at_work])


def mount_of_claim(world: Any, arrays: Mapping[str, AnyArray], claim: int) -> int:
    """The mount for which a sharp set is waited for."""
    sister = claim - int(world.first_sister_claim)
    return claim - int(world.n_machines) if sister < 0 else int(arrays["sisters"]["mount"][sister])
