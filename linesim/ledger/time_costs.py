"""What machines and operators cost, and on what: work, waiting, gauging, recuts; and what scrapped parts have cost."""

from __future__ import annotations

from collections.abc import Iterator
from typing import NamedTuple

import numpy as np

from linesim.ledger.entries import Entries, Head, Item, Location, priced
from linesim.ledger.sharing import summed
from linesim.ledger.stations import stations_of
from linesim.plan.plan import Plan
from linesim.plan.tables import Floats, Ints
from linesim.plan.tally import Cause, State, Tally
from linesim.works.model import Works
from linesim.works.types_of import casting_prices

__all__ = ["MACHINE_TIME", "OPERATORS_TIME", "TimeAndScrap"]

MACHINE_TIME = "machine time"
OPERATORS_TIME = "operators' time"

_PUT_INTO_PARTS = (State.CUTTING, State.LOADING, State.GAUGING)
"""States whose minutes go into the part on the machine."""


class _Minutes(NamedTuple):
    """Machine minutes of every operation, each in one place only.

    Attributes
    ----------
    by_state : array of float, (operations, states)
        What is left in each state when recuts and scrapped parts have been moved out; gauging included.
    recut : array of float, (operations,)
        Cutting again.
    scrapped_share : array of float, (operations,)
        Of the minutes put into scrapped parts here, the share that is moved to scrap: 1, but less where parts that were
        worked on before the counted time bring more minutes than the counted time has.
    """

    by_state: Floats
    recut: Floats
    scrapped_share: Floats


class TimeAndScrap:
    """Machine hours and labour, parted into states, recuts and scrapped parts, with the castings of the latter.

    Parameters
    ----------
    works, plan : Works, Plan
        What is run.

    Attributes
    ----------
    heads : list of Head
        By operation: each state, then each cause of recuts, then each cause of scrap.
    """

    def __init__(self, works: Works, plan: Plan) -> None:
        stations = stations_of(works, plan)
        lines = list(works.lines.values())
        castings = [lines[number].casting for number in plan.operations.line.tolist()]
        self._operation = plan.machines.operation
        self._rate = np.array([station.spec.rate for station in stations], dtype=np.float64)
        self._operators = np.array([station.spec.operators for station in stations], dtype=np.float64)
        labour = np.full(len(stations), works.prices.labour_rate)
        self._per_hour = np.stack([self._rate, labour], axis=1)[:, None, :]
        self._per_part = np.array([(casting.price, -casting.scrap_value) for casting in castings])[:, None, :]
        dearer = [[price - line.casting.price for price in casting_prices(line)] for line in lines]
        self._dearer = np.array([each for row in dearer for each in row], dtype=np.float64)
        only = [row[0] if len(row) == 1 else 0.0 for row in dearer]
        self._only = np.array(only, dtype=np.float64)[plan.operations.line]
        self.heads = [
            *(head for station in stations for head in _heads_of_states(station.number, station.location)),
            *(head for station in stations for head in _heads_of_recuts(station.location)),
            *(head for station in stations for head in _heads_of_scrap(station.location)),
        ]

    def entries(self, tally: Tally) -> Entries:
        """What a run has cost, one entry for each head."""
        minutes = self._minutes(tally)
        recut = self._by_operation(tally.recut)
        blocks = [
            self._hours(minutes.by_state),
            self._hours(minutes.recut[:, None] * _shares(recut)),
            self._scrap(tally, minutes.scrapped_share),
        ]
        return priced(*(np.concatenate([block[at].ravel() for block in blocks]) for at in (0, 1)))

    def _hours(self, minutes: Floats) -> tuple[Floats, Floats]:
        """Hours of machines and of their operators with their prices, (operations, ..., 2) each."""
        hours = minutes / 60.0
        both = np.stack([hours, hours * self._operators[:, None]], axis=2)
        return both, np.broadcast_to(self._per_hour, both.shape)

    def _minutes(self, tally: Tally) -> _Minutes:
        """Part the minutes of machines into what they were spent on.

        The states, the recuts and the scrapped minutes times their share add up to all minutes of the machines.
        """
        left = self._by_operation(tally.state_min)
        recut = np.minimum(self._by_operation(tally.recut_min[:, None])[:, 0], left[:, State.CUTTING])
        left[:, State.CUTTING] -= recut
        put_in = np.zeros(len(left))
        for state in _PUT_INTO_PARTS:
            put_in += left[:, state]
        lost = np.ascontiguousarray(tally.scrapped_min.T).sum(axis=1)
        moved = np.minimum(lost, put_in)
        is_moved = moved > 0.0
        keep = np.zeros(len(left))
        np.divide(moved, put_in, out=keep, where=is_moved)
        keep = 1.0 - keep
        for state in _PUT_INTO_PARTS:
            left[:, state] *= keep
        scrapped_share = np.zeros(len(left))
        np.divide(moved, lost, out=scrapped_share, where=is_moved)
        return _Minutes(left, recut, scrapped_share)

    def _scrap(self, tally: Tally, scrapped_share: Floats) -> tuple[Floats, Floats]:
        """Castings and time lost in parts scrapped at each operation, less the scrap metal: quantities and prices."""
        counts = self._by_operation(tally.scrapped)
        hours = self._by_operation(tally.scrapped_min) * scrapped_share / 60.0
        machine, value, labour = (np.cumsum(hours * each, axis=1)[:, -1] for each in (1.0, self._rate, self._operators))
        rate = np.zeros(len(hours))
        np.divide(value, machine, out=rate, where=machine != 0.0)
        shares = _shares(counts)
        parts = shares * counts.sum(axis=1)[:, None]
        quantity = np.stack([parts, parts, shares * machine[:, None], shares * labour[:, None]], axis=2)
        price = np.empty_like(quantity)
        price[:, :, :2] = self._per_part
        price[:, :, 0] += self._casting_prices(tally)[:, None]
        price[:, :, 2:] = self._per_hour
        price[:, :, 2] = rate[:, None]
        return quantity, price

    def _casting_prices(self, tally: Tally) -> Floats:
        """By how much a casting scrapped at each operation was dearer than the line's, by the types that it lost."""
        extra = np.zeros(len(self._rate))
        if self._dearer.any():
            of_type = self._by_operation(tally.scrapped_of_type)
            parts = of_type.sum(axis=1)
            np.divide((of_type * self._dearer).sum(axis=1), parts, out=extra, where=parts > 0.0)
            extra += self._only * (parts == 0.0)
        return extra

    def _by_operation(self, of_machines: Floats | Ints) -> Floats:
        """Sums over the machines of each operation, one machine after another, (operations, ...)."""
        columns = of_machines.shape[1]
        cell = self._operation[:, None] * columns + np.arange(columns)
        return summed(cell.ravel(), of_machines.ravel(), len(self._rate) * columns).reshape(-1, columns)


def _heads_of_states(number: int, location: Location) -> Iterator[Head]:
    for state in State:
        machine, labour = (Item.GAUGING,) * 2 if state is State.GAUGING else (Item.MACHINE_HOURS, Item.LABOUR)
        yield Head(location, machine, state.words, MACHINE_TIME, "h", number)
        yield Head(location, labour, state.words, OPERATORS_TIME, "h", number)


def _heads_of_recuts(location: Location) -> Iterator[Head]:
    for cause in Cause:
        for what in (MACHINE_TIME, OPERATORS_TIME):
            yield Head(location, Item.RECUTS, cause.words, what, "h")


def _heads_of_scrap(location: Location) -> Iterator[Head]:
    for cause in Cause:
        for what, unit in (("casting", "part"), ("scrap metal", "part"), (MACHINE_TIME, "h"), (OPERATORS_TIME, "h")):
            yield Head(location, Item.SCRAP, cause.words, what, unit)


def _shares(counts: Floats) -> Floats:
    """Causes' shares in the counts, (operations, causes); other reasons for what nothing was counted for."""
    whole = counts.sum(axis=1)[:, None]
    shares = np.zeros(counts.shape)
    np.divide(counts, whole, out=shares, where=whole != 0.0)
    shares[whole[:, 0] == 0.0, Cause.OTHER] = 1.0
    return shares
