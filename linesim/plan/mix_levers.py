"""What a policy says of part types: the batches in which castings come, and which waiting part is taken."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from itertools import accumulate

import numpy as np

from linesim.plan.mixing import SEQUENCES
from linesim.plan.plan import Plan
from linesim.plan.tables import NONE
from linesim.plan.type_tables import Sequence
from linesim.works.part_types import Sequence as Order
from linesim.works.policies import Policy

__all__ = ["choosing", "mixed", "sequences_of"]


def choosing(plan: Plan) -> Iterator[tuple[int, str]]:
    """Number and name of the operations that may say which of several types of waiting parts they take next."""
    several = (plan.lines.end_type - plan.lines.first_type)[plan.operations.line] > 1
    several &= plan.mixes.sequence != Sequence.MATCHED
    yield from ((number, name) for number, name in enumerate(plan.names.operations) if several[number])


def sequences_of(plan: Plan) -> Iterator[tuple[int, str, Order]]:
    """Number, name and sequence of the operations at which it costs something which type is taken next."""
    names = {int(number): name for name, number in SEQUENCES.items()}
    for number, name in choosing(plan):
        if plan.mixes.first_changeover[number] != NONE:
            yield number, name, names[int(plan.mixes.sequence[number])]


def mixed(plan: Plan, policy: Policy) -> Plan:
    """The plan with the batches and sequences of a policy."""
    types = plan.part_types._replace(
        share_to=plan.part_types.share_to.copy(),
        batch_to=plan.part_types.batch_to.copy(),
        batch_of=plan.part_types.batch_of.copy(),
    )
    for line, batches in policy.batches.items():
        number = plan.names.lines.index(line)
        own = slice(int(plan.lines.first_type[number]), int(plan.lines.end_type[number]))
        names = plan.names.part_types[own]
        types.share_to[own] = np.inf
        types.batch_to[own] = list(accumulate(batches.values()))
        types.batch_of[own] = [names.index(name) for name in batches]
    sequences = plan.mixes.sequence.copy()
    for operation, name in choosing(plan):
        if name in policy.sequences:
            sequences[operation] = int(SEQUENCES[policy.sequences[name]])
    return replace(plan, part_types=types, mixes=plan.mixes._replace(sequence=sequences))
