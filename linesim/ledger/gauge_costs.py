"""What gauges cost beside machine time: readings, and the salvage bench."""

from __future__ import annotations

import numpy as np

from linesim.ledger.entries import Cost, Head, Item, Priced
from linesim.ledger.stations import stations_of
from linesim.plan.plan import Plan
from linesim.plan.tally import Cause
from linesim.works.model import Works

__all__ = ["readings", "salvage"]


def readings(works: Works, plan: Plan) -> Cost:
    """Readings, gauge by gauge."""
    heads, price = [], []
    for station in stations_of(works, plan):
        for name, gauge in station.spec.gauges.items():
            heads.append(Head(station.location, Item.GAUGING, "readings", name, "reading", station.number))
            price.append(gauge.cost)
    return Priced(heads, np.array(price, dtype=np.float64), lambda tally: tally.readings.astype(np.float64))


def salvage(works: Works, plan: Plan) -> Cost:
    """Parts put right on the salvage bench, by the gauge that sent them there and the cause."""
    heads, price = [], []
    for station in stations_of(works, plan):
        for name, gauge in station.spec.gauges.items():
            heads += [Head(station.location, Item.SALVAGE, cause.words, name, "part") for cause in Cause]
            price += [gauge.salvage_cost] * len(Cause)
    return Priced(heads, np.array(price, dtype=np.float64), lambda tally: tally.salvaged.ravel().astype(np.float64))
