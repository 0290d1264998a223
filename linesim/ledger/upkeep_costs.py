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

__all__ = ["maintenance"]


def maintenance(works: Works, plan: Plan) -> Cost:
    """Spares and hired work of breakdowns and overhauls, operation by operation."""
    heads, price = [], []
    for station in stations_of(works, plan):
        of = station.spec.breakdowns
        heads.append(Head(station.location, Item.MAINTENANCE, "breakdowns", "spares", "breakdown", station.number))
        price.append(0.0 if of is None else of.cost)
        heads.append(Head(station.location, Item.MAINTENANCE, "overhauls", "spares", "overhaul", station.number))
        price.append(0.0 if of is None or of.overhaul is None else of.overhaul.cost)

    def events(tally: Tally) -> Floats:
        size, at = len(plan.operations.line), plan.machines.operation
        both = [summed(at, counts, size) for counts in (tally.breakdowns, tally.overhauls)]
        return np.stack(both, axis=1).ravel()

    return Priced(heads, np.array(price, dtype=np.float64), events)
