"""What breakdowns and overhauls of machines cost beside their time and the people."""

from __future__ import annotations

import numpy as np

from linesim.ledger.entries import Cost, Head, Item, Priced
from linesim.ledger.sharing import summed
from linesim.ledger.stations import stations_of
from linesim.plan.plan import Plan
from linesim.plan.tables import Floats
from linesim.plan.tally import Tally
from linesim.works.model import Works
from linesim.works.upkeep import breakdowns_of

__all__ = ["maintenance"]


def maintenance(works: Works, plan: Plan) -> Cost:
    """Spares and hired work of breakdowns and overhauls, operation by operation."""
    heads, price, row = [], [], np.zeros(len(plan.machines.operation), dtype=np.int64)
    for station in stations_of(works, plan):
        # Machines with failures of their own have rows of their own.
        for number in range(station.machines.stop - station.machines.start):
            if number == 0 or station.spec.unlike:
                of, where = breakdowns_of(station.spec, number), station.location
                heads.append(Head(where, Item.MAINTENANCE, "breakdowns", "spares", "breakdown", station.number))
                price.append(0.0 if of is None else of.cost)
                heads.append(Head(where, Item.MAINTENANCE, "overhauls", "spares", "overhaul", station.number))
                price.append(0.0 if of is None or of.overhaul is None else of.overhaul.cost)
            row[station.machines.start + number] = len(price) // 2 - 1

    def events(tally: Tally) -> Floats:
        both = [summed(row, counts, len(price) // 2) for counts in (tally.breakdowns, tally.overhauls)]
        return np.stack(both, axis=1).ravel()

    return Priced(heads, np.array(price, dtype=np.float64), events)
