"""What machines and operators cost, and on what: work, waiting, gauging, recuts, scrap, salvage."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

import numpy as np

from linesim.ledger.places import Minutes, Station, minutes_of
from linesim.ledger.rows import Item, Rows
from linesim.plan.tables import Ints
from linesim.plan.tally import Cause, State, Tally
from linesim.works.model import Works

__all__ = ["MACHINE_TIME", "OPERATORS_TIME", "enter_floor"]

MACHINE_TIME = "machine time"
OPERATORS_TIME = "operators' time"


def enter_floor(rows: Rows, works: Works, stations: Sequence[Station], tally: Tally) -> None:
    """Enter machine hours, labour, gauging, recuts, scrap and salvage of all operations.

    Parameters
    ----------
    rows : Rows
        Takes the rows.
    works : Works
        Prices.
    stations : sequence of Station
        All operations.
    tally : Tally
        Of the run.
    """
    minutes = [minutes_of(station, tally) for station in stations]
    for station, spent in zip(stations, minutes, strict=True):
        _enter_states(rows, works, station, spent)
        _enter_readings(rows, station, tally)
        for cause, share in _shares(tally.recut[station.machines].sum(axis=0)):
            _enter_time(rows, works, station, Item.RECUTS, cause, spent.recut * share)
        _enter_scrap(rows, works, stations, minutes, station, tally)
        _enter_salvage(rows, station, tally)


def _enter_time(rows: Rows, works: Works, station: Station, item: Item, cause: str, minutes: float) -> None:
    """Enter minutes of an operation's machines with their operators."""
    hours, spec = minutes / 60.0, station.spec
    on_labour = Item.LABOUR if item is Item.MACHINE_HOURS else item
    rows.add(station.place, item, cause, MACHINE_TIME, hours, "h", spec.rate)
    rows.add(station.place, on_labour, cause, OPERATORS_TIME, hours * spec.operators, "h", works.prices.labour_rate)


def _enter_states(rows: Rows, works: Works, station: Station, spent: Minutes) -> None:
    for state, minutes in spent.by_state.items():
        item = Item.GAUGING if state is State.GAUGING else Item.MACHINE_HOURS
        _enter_time(rows, works, station, item, state.words, minutes)


def _enter_readings(rows: Rows, station: Station, tally: Tally) -> None:
    readings = tally.readings[station.gauges].tolist()
    for (name, gauge), count in zip(station.spec.gauges.items(), readings, strict=True):
        rows.add(station.place, Item.GAUGING, "readings", name, count, "reading", gauge.cost)


def _shares(counts: Ints) -> Iterator[tuple[str, float]]:
    """Causes with their share in the counts; other reasons for what nothing was counted for."""
    whole = int(counts.sum())
    if whole == 0:
        yield Cause.OTHER.words, 1.0
    for cause in Cause:
        if counts[cause]:
            yield cause.words, int(counts[cause]) / whole


def _enter_scrap(
    rows: Rows, works: Works, stations: Sequence[Station], minutes: Sequence[Minutes], station: Station, tally: Tally
) -> None:
    """Enter the castings and the time lost in parts scrapped at one operation, less what the scrap metal brings."""
    place, casting = station.place, works.lines[station.place.line].casting
    counts = tally.scrapped[station.machines].sum(axis=0)
    lost = tally.scrapped_min[station.machines].sum(axis=0).tolist()
    hours = [lost_min * spent.scrapped_share / 60.0 for lost_min, spent in zip(lost, minutes, strict=True)]
    machine_hours = _added(hours)
    value = _added([hour * each.spec.rate for hour, each in zip(hours, stations, strict=True)])
    labour_hours = _added([hour * each.spec.operators for hour, each in zip(hours, stations, strict=True)])
    rate = value / machine_hours if machine_hours else 0.0
    for cause, share in _shares(counts):
        parts = share * int(counts.sum())
        rows.add(place, Item.SCRAP, cause, "casting", parts, "part", casting.price)
        rows.add(place, Item.SCRAP, cause, "scrap metal", parts, "part", -casting.scrap_value)
        rows.add(place, Item.SCRAP, cause, MACHINE_TIME, share * machine_hours, "h", rate)
        rows.add(place, Item.SCRAP, cause, OPERATORS_TIME, share * labour_hours, "h", works.prices.labour_rate)


def _added(hours: Sequence[float]) -> float:
    """Sum, one after another, as pricing does; sum() rounds in its own way in newer Pythons."""
    return float(np.cumsum(hours)[-1])


def _enter_salvage(rows: Rows, station: Station, tally: Tally) -> None:
    """Enter the salvage bench, gauge by gauge."""
    for (name, gauge), counts in zip(station.spec.gauges.items(), tally.salvaged[station.gauges], strict=True):
        for cause in Cause:
            parts = int(counts[cause])
            rows.add(station.place, Item.SALVAGE, cause.words, name, parts, "part", gauge.salvage_cost)
