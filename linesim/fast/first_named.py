"""Machines of which the first named that is free takes the next part, and not the one that has been free longest."""

from __future__ import annotations

from linesim.fast import codes, steps
from linesim.fast.common import call, enter, queue_claim, queue_claim_since
from linesim.fast.compiled import compiled
from linesim.fast.drawers import operation_at, pool_at
from linesim.fast.state import Machine, World

__all__ = ["ask_for_part", "take_as_named"]


@compiled
def ask_for_part(w: World, m: Machine) -> None:
    """Claim a part, in the order of the machines where that is the rule."""
    if operation_at(w.operations, m.operation).prefers:
        queue_claim_since(w, pool_at(w.pools, m.source), m.index, -1.0)
    else:
        queue_claim(w, pool_at(w.pools, m.source), m.index)
    call(w, m.source)


@compiled
def take_as_named(w: World, m: Machine) -> int:
    """As `linesim.fast.handling.take`."""
    enter(w, m, codes.STATE_WAITING_FOR_PART)
    ask_for_part(w, m)
    m.step = m.offered
    return steps.BLOCKED
