"""What gauges cost beside machine time: readings, and the salvage bench; parts freed of cutters that broke in them."""

from __future__ import annotations

import numpy as np

from linesim.ledger.entries import Cost, Head, Item, Priced
from linesim.ledger.sharing import summed
from linesim.ledger.stations import stations_of
from linesim.plan.plan import Plan
from linesim.plan.tables import Floats
from linesim.plan.tally import Cause, Tally
from linesim.works.model import Works

__all__ = ["first_salvage", "readings", "salvage", "tapped_out"]


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


def tapped_out(works: Works, plan: Plan) -> Cost:
    """Attempts to free parts of cutters that broke in them, by operation and kind of set."""
    operations = len(plan.operations.line)
    of_mount = plan.mounts.kind * operations + plan.machines.operation[plan.mounts.machine]
    pairs, pair_of_mount = np.unique(of_mount, return_inverse=True)
    stations, cutters = stations_of(works, plan), list(works.cutters.items())
    heads, price = [], []
    for kind, operation in zip(*(part.tolist() for part in np.divmod(pairs, operations)), strict=True):
        name, cutter = cutters[kind]
        station = stations[operation]
        heads.append(Head(station.location, Item.SALVAGE, Cause.BROKEN_CUTTER.words, name, "part", station.number))
        price.append(0.0 if isinstance(cutter.broken, str) else cutter.broken.salvage.cost)

    def attempts(tally: Tally) -> Floats:
        return summed(pair_of_mount, tally.unplanned, len(pairs))

    return Priced(heads, np.array(price, dtype=np.float64), attempts)


def first_salvage(works: Works, plan: Plan) -> Cost:
    """First pieces after a change that went to the salvage bench, machine by machine."""
    heads, price = [], []
    for station in stations_of(works, plan):
        first = station.spec.first_piece
        for machine in plan.names.machines[station.machines]:
            heads.append(Head(station.location, Item.SALVAGE, "first pieces", machine, "part", station.number))
            price.append(0.0 if first is None else first.salvage_cost)

    def pieces(tally: Tally) -> Floats:
        count: Floats = tally.first_salvaged.sum(axis=1).astype(np.float64)
        return count

    return Priced(heads, np.array(price, dtype=np.float64), pieces)
