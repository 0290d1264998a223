"""How a compiled floor stands at a moment: parts before the operations, sets sharp and at the grinder."""

from __future__ import annotations

import numpy as np

from linesim.fast import steps
from linesim.fast.run import FastFloor
from linesim.plan.tables import NONE, UNLIMITED, Ints
from linesim.plan.tally import State

__all__ = ["parts_standing", "sets_standing"]

_AT_GRINDER = (steps.TO_GRINDER, steps.AT_GRINDER, steps.GROUND)


def parts_standing(floor: FastFloor) -> Ints:
    """Parts before each operation, with those on its machines as far as its buffer holds them, (operations,).

    A run begins with empty machines, so that a part that is being worked on counts among those before its operation,
    and one that is done and held up among those before the next.
    """
    plan, arrays = floor.plan, floor.working.arrays
    waiting = np.zeros(len(plan.operations.line), dtype=np.int64)
    yards = plan.lines.first_operation
    pools = arrays["pools"]
    for pool in pools[(pools["way"] == steps.BUFFER) | (pools["way"] == steps.YARD)]:
        waiting[yards[pool["of"]] if pool["way"] == steps.YARD else pool["of"]] += pool["stock"]
    machines = arrays["machines"][: len(plan.machines.operation)]
    has_part = (machines["part"] != NONE) & (machines["state"] != State.WAITING_FOR_PART)
    is_done = has_part & (machines["state"] == State.HELD_UP)
    np.add.at(waiting, plan.machines.operation[has_part & ~is_done], 1)
    after = plan.machines.operation[is_done] + 1
    np.add.at(waiting, after[~np.isin(after, np.append(yards, len(waiting)))], 1)
    room = plan.operations.buffer
    return np.where(room >= UNLIMITED, waiting, np.minimum(waiting, room))


def sets_standing(floor: FastFloor) -> tuple[Ints, Ints]:
    """Sets of each kind that are sharp and not mounted, and that are at the grinder, (kinds,) each."""
    plan, arrays, w = floor.plan, floor.working.arrays, floor.working.world
    sets, pools, mounts = arrays["sets"][: int(w.n_sets)], arrays["pools"], arrays["mounts"][: len(plan.mounts.kind)]
    is_elsewhere = np.ones(len(sets), dtype=bool)
    is_elsewhere[mounts["cutter_set"]] = False
    is_elsewhere[arrays["sisters"]["cutter_set"][: int(plan.mounts.sisters.sum()) - len(mounts)]] = False
    sharp = np.zeros(len(plan.kinds.sets), dtype=np.int64)
    for kind in range(len(sharp)):
        number = int(pools["first"][int(w.first_shelf) + kind])
        while number != NONE:
            sharp[kind] += 1
            is_elsewhere[number] = False
            number = int(sets["next"][number])
    # In a setter's hands: on the machine as soon as the change is over, and sharp as long as the old edge counts.
    in_hand = mounts[(mounts["role"] != steps.STAYS) & (mounts["sharp_set"] != mounts["cutter_set"])]["sharp_set"]
    in_hand = in_hand[in_hand != NONE]
    is_elsewhere[in_hand] = False
    np.add.at(sharp, sets["kind"][in_hand].astype(np.int64), 1)
    ground = sets["kind"][is_elsewhere & np.isin(sets["step"], _AT_GRINDER)].astype(np.int64)
    return sharp, np.bincount(ground, minlength=len(sharp))
