"""What carriers, conveyors and pallets cost, whether they are used or not."""

from __future__ import annotations

import numpy as np

from linesim.ledger.entries import WHOLE_LINE, Cost, Head, Item, Location, Priced
from linesim.ledger.stations import stations_of
from linesim.plan.plan import Plan
from linesim.works.model import Works

__all__ = ["transport"]


def transport(works: Works, plan: Plan) -> Cost:
    """Hire of carriers and conveyors at the operation to which they lead, and of pallets at their line.

    What has no rate has no row.
    """
    heads, pieces, price = [], [], []
    for station in stations_of(works, plan):
        move = station.spec.move
        if move is not None and move.rate > 0.0:
            what = "conveyor" if move.is_conveyor else "carriers"
            heads.append(Head(station.location, Item.TRANSPORT, "hire", what, "h", station.number))
            pieces.append(move.pieces)
            price.append(move.rate)
    for name, line in works.lines.items():
        if line.pallets is not None and line.pallet_rate > 0.0:
            heads.append(Head(Location(name, WHOLE_LINE), Item.TRANSPORT, "hire", "pallets", "h"))
            pieces.append(line.pallets)
            price.append(line.pallet_rate)
    of_hour = np.array(pieces, dtype=np.float64) / 60.0
    return Priced(heads, np.array(price, dtype=np.float64), lambda tally: of_hour * tally.counted_min)
