"""What machines and operators cost, and on what: work, waiting, gauging, recuts; and what scrapped parts have cost."""

from __future__ import annotations

import math
from collections.abc import Iterator
from typing import NamedTuple

import numpy as np
import numpy.typing as npt

from linesim.ledger.entries import Entries, Head, Item, Location, priced
from linesim.ledger.sharing import summed
from linesim.ledger.stations import stations_of
from linesim.plan.plan import Plan
from linesim.plan.tables import Floats
from linesim.plan.tally import Cause, State, Tally
from linesim.works.model import Works
from linesim.works.types_of import casting_prices

__all__ = ["MACHINE_TIME", "OPERATORS_TIME", "TimeAndScrap"]

MACHINE_TIME = "machine time"
OPERATORS_TIME = "operators' time"

_PUT_INTO_PARTS = (State.CUTTING, State.LOADING, State.GAUGING)
"""States whose minutes go into the part on the machine."""


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
        lines, self._operations = list(works.lines.values()), len(stations)
        castings = [lines[number].casting for number in plan.operations.line.tolist()]
        rate = np.array([station.spec.rate for station in stations], dtype=np.float64)
        self._operators = np.array([station.spec.operators for station in stations], dtype=np.float64)[:, None]
        self._rates = np.stack([np.ones(len(stations)), rate, self._operators[:, 0]])[:, None, :]
        labour = np.full(len(stations), works.prices.labour_rate)
        per_hour = np.stack([rate, labour], axis=1)[:, None, :]
        per_part = np.array([(casting.price, -casting.scrap_value) for casting in castings])[:, None, :]
        dearer = [[price - line.casting.price for price in casting_prices(line)] for line in lines]
        self._dearer = np.array([each for row in dearer for each in row], dtype=np.float64)
        only = [row[0] if len(row) == 1 else 0.0 for row in dearer]
        self._only = np.array(only, dtype=np.float64)[plan.operations.line]
        self._is_dearer = bool(self._dearer.any())
        self._columns = _columns_of(len(stations), len(self._dearer) * self._is_dearer)
        width = self._columns.of_type.stop
        self._cell = (plan.machines.operation[:, None] * width + np.arange(width)).ravel()
        self._shapes = [(len(stations), *more) for more in ((len(State), 2), (len(Cause), 2), (len(Cause), 4))]
        self._ends = np.cumsum([math.prod(shape) for shape in self._shapes]).tolist()
        self._price = np.empty(self._ends[-1])
        *blocks, of_scrap = self._blocks(self._price)
        for block in (*blocks, of_scrap[:, :, 2:]):
            block[:] = per_hour
        of_scrap[:, :, :2] = per_part
        self.heads = [
            *(head for station in stations for head in _heads_of_states(station.number, station.location)),
            *(head for station in stations for head in _heads_of_recuts(station.location)),
            *(head for station in stations for head in _heads_of_scrap(station.location)),
        ]

    def entries(self, tally: Tally) -> Entries:
        """What a run has cost, one entry for each head."""
        sums, at = self._by_operation(tally), self._columns
        quantity, price = np.empty(self._ends[-1]), self._price.copy()
        (of_states, of_recuts, of_scrap), (*_, scrap_price) = self._blocks(quantity), self._blocks(price)
        left, counts, shares = sums[:, at.states], *_shares(sums[:, at.causes].reshape(-1, 2, len(Cause)))
        recut, scrapped_share = self._part(left, sums, tally)
        of_states[:, :, 0] = left / 60.0
        of_recuts[:, :, 0] = recut[:, None] * shares[:, 0] / 60.0
        for block in (of_states, of_recuts):
            block[:, :, 1] = block[:, :, 0] * self._operators
        hours = sums[:, at.scrapped_min] * scrapped_share / 60.0
        machine, value, labour = np.cumsum(hours * self._rates, axis=2)[:, :, -1]
        of_scrap[:, :, 0] = of_scrap[:, :, 1] = shares[:, 1] * counts[:, 1]
        of_scrap[:, :, 2], of_scrap[:, :, 3] = shares[:, 1] * machine[:, None], shares[:, 1] * labour[:, None]
        scrap_price[:, :, 2] = _quotient(value, machine)[:, None]
        if self._is_dearer:
            scrap_price[:, :, 0] += self._dearer_by(sums[:, at.of_type])[:, None]
        return priced(quantity, price)

    def _blocks(self, flat: Floats) -> list[Floats]:
        """What is entered under states, (operations, states, 2), recuts and scrap, (operations, causes, 2 and 4)."""
        starts = (0, *self._ends)
        return [flat[at:end].reshape(shape) for at, end, shape in zip(starts, self._ends, self._shapes, strict=False)]

    def _part(self, left: Floats, sums: Floats, tally: Tally) -> tuple[Floats, Floats]:
        """Part the minutes of machines into what they were spent on, each in one place only.

        The states, the recuts and the scrapped minutes times their share add up to all minutes of the machines.

        Parameters
        ----------
        left : array of float, (operations, states)
            All minutes; what is left in each state when recuts and scrapped parts have been moved out stays there.
        sums : array of float, (operations, columns)
            What machines have counted.
        tally : Tally
            Of the run.

        Returns
        -------
        tuple of two array of float, (operations,)
            Minutes of cutting again; and of the minutes put into scrapped parts here, the share that is moved to scrap:
            1, but less where parts that were worked on before the counted time bring more minutes than that has.
        """
        recut = np.minimum(sums[:, self._columns.recut_min], left[:, State.CUTTING])
        left[:, State.CUTTING] -= recut
        put_in = np.zeros(len(left))
        for state in _PUT_INTO_PARTS:
            put_in += left[:, state]
        lost = np.ascontiguousarray(tally.scrapped_min.T).sum(axis=1)
        moved = np.minimum(lost, put_in)
        keep = 1.0 - _quotient(moved, put_in, moved > 0.0)
        for state in _PUT_INTO_PARTS:
            left[:, state] *= keep
        return recut, _quotient(moved, lost, moved > 0.0)

    def _dearer_by(self, of_type: Floats) -> Floats:
        """By how much a casting scrapped at each operation was dearer than the line's, by the types that it lost."""
        parts = of_type.sum(axis=1)
        extra = _quotient((of_type * self._dearer).sum(axis=1), parts, parts > 0.0)
        extra += self._only * (parts == 0.0)
        return extra

    def _by_operation(self, tally: Tally) -> Floats:
        """What machines have counted, summed over those of each operation, one after another, (operations, columns)."""
        counted = [tally.state_min, tally.recut_min[:, None], tally.recut, tally.scrapped, tally.scrapped_min]
        if self._is_dearer:
            counted.append(tally.scrapped_of_type)
        both = np.concatenate(counted, axis=1)
        return summed(self._cell, both.ravel(), self._operations * both.shape[1]).reshape(self._operations, -1)


class _Columns(NamedTuple):
    """Where what machines count stands among the columns of the sums: minutes, counts by cause, minutes, counts."""

    states: slice
    recut_min: int
    causes: slice
    """Of recuts, then of scrap."""
    scrapped_min: slice
    of_type: slice


def _columns_of(operations: int, types: int) -> _Columns:
    states, causes = len(State), len(State) + 1 + 2 * len(Cause)
    end = causes + operations
    return _Columns(slice(states), states, slice(states + 1, causes), slice(causes, end), slice(end, end + types))


def _quotient(top: Floats, bottom: Floats, where: npt.NDArray[np.bool_] | None = None) -> Floats:
    """Quotients; 0 where there is nothing to divide by, or not in question."""
    quotient = np.zeros(len(top))
    np.divide(top, bottom, out=quotient, where=bottom != 0.0 if where is None else where)
    return quotient


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


def _shares(counts: Floats) -> tuple[Floats, Floats]:
    """Sums over the causes, and causes' shares in them; other reasons for what nothing was counted for."""
    whole = counts.sum(axis=-1, keepdims=True)
    shares = np.zeros(counts.shape)
    np.divide(counts, whole, out=shares, where=whole != 0.0)
    shares[..., Cause.OTHER][whole[..., 0] == 0.0] = 1.0
    return whole, shares
