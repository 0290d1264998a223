"""Sentences on magazines: how many changes needed no stop, and what the setter found used up."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from linesim.ledger.sharing import summed
from linesim.ledger.stations import stations_of
from linesim.plan.plan import Plan
from linesim.plan.tally import Tally
from linesim.result.floor_tables import by_operation
from linesim.works.model import Works

__all__ = ["magazine_sentences"]


def magazine_sentences(works: Works, plan: Plan, tally: Tally) -> Iterator[str]:
    """Operations whose machines hold sister cutters: changes in the cycle, and stops."""
    of_mount = plan.machines.operation[plan.mounts.machine]
    operations = len(plan.operations.line)
    changes = summed(of_mount, tally.planned + tally.joined + tally.unplanned, operations)
    in_cycle = summed(of_mount, tally.taken_over, operations)
    stops = by_operation(plan, tally.stops)
    names = {station.number: station.location.operation for station in stations_of(works, plan)}
    for operation in np.flatnonzero(plan.magazines.is_here * changes > 0).tolist():
        yield (
            f'Of {changes[operation]:.0f} cutters of "{names[operation]}" that came to their end, sisters took over '
            f"from {in_cycle[operation]:.0f} within the cycle; its machines stopped {stops[operation]} times for "
            "the others, and to have used ones renewed."
        )
