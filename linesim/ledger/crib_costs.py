"""What new cutters, regrinds, dressings and indexing cost, shared out over the operations whose sets they renew."""

from __future__ import annotations

from collections.abc import Iterator
from typing import NamedTuple

import numpy as np

from linesim.ledger.entries import Cost, Head, Item, Shared
from linesim.ledger.sharing import Groups, summed
from linesim.ledger.stations import stations_of
from linesim.plan.plan import Plan
from linesim.plan.tables import Floats, Ints
from linesim.plan.tally import Tally
from linesim.plan.times import mean_minutes
from linesim.works.crib import Cutter
from linesim.works.model import Works

__all__ = ["crib"]

_BROKE, _USED_UP, _REGROUND, _IN_PLACE, _GROUND = range(5)
"""What is paid for: sets bought for broken and for used-up ones, regrinds, renewals on the machine, grinders' time."""

_SHARED_BY = np.array([0, 1, 1, 2, 3])
"""By what each of these is shared, as `_SetsTakenOff.weights` counts it."""


class _Way(NamedTuple):
    """Something that is paid for of one kind of set, and how it is booked; -1 stands for all kinds together."""

    kind: int
    item: Item
    cause: str
    paid_for: int
    price: float


def crib(works: Works, plan: Plan) -> Cost:
    """New cutters, regrinds with the tool grinders' time, dressings and indexing.

    New cutters that a breakage called for fall to the operation where it happened; those that replace used-up ones, and
    regrinds, to the operations whose sets came off there dull, by their number. The tool grinders' time is shared by
    regrinds times their mean minutes.
    """
    sets = _SetsTakenOff(works, plan)
    stations, names = stations_of(works, plan), list(works.cutters)
    heads: list[Head] = []
    ways, counts, pair_of_head = [], [], []
    for way in _ways(works):
        here = sets.pairs_of(way.kind)
        if here:
            ways.append(way)
            counts.append(len(here))
            pair_of_head += here
            for pair in here:
                location = stations[int(sets.operation[pair])].location
                unit = "h" if way.paid_for == _GROUND else "set"
                heads.append(Head(location, way.item, way.cause, names[int(sets.kind[pair])], unit))
    groups = Groups(counts)
    return Shared(
        heads,
        groups,
        np.array([way.price for way in ways], dtype=np.float64),
        _Amounts(sets, ways, np.array(pair_of_head, dtype=np.int64), groups),
    )


def _ways(works: Works) -> Iterator[_Way]:
    """All that is paid for."""
    for kind, cutter in enumerate(works.cutters.values()):
        yield from _ways_of_kind(kind, cutter)
    yield _Way(-1, Item.REGRINDS, "tool grinder's time", _GROUND, works.crib.rate)


def _ways_of_kind(kind: int, cutter: Cutter) -> Iterator[_Way]:
    """What is paid for of one kind of set."""
    yield _Way(kind, Item.NEW_CUTTERS, "broke", _BROKE, cutter.price)
    yield _Way(kind, Item.NEW_CUTTERS, "used up", _USED_UP, cutter.price)
    if cutter.renewal.reground is not None:
        yield _Way(kind, Item.REGRINDS, "wheel and sundries", _REGROUND, cutter.renewal.reground.cost)
    for cause, renewed in (("indexed", cutter.renewal.indexed), ("dressed", cutter.renewal.dressed)):
        if renewed is not None:
            yield _Way(kind, Item.IN_PLACE, cause, _IN_PLACE, renewed.cost)


class _SetsTakenOff:
    """Sets that came off, counted for each pair of a kind and an operation that mounts it.

    Attributes
    ----------
    kind, operation : array of int, (pairs,)
        What the pairs are, kind after kind.
    """

    def __init__(self, works: Works, plan: Plan) -> None:
        operations = len(plan.operations.line)
        mounted = plan.mounts.kind * operations + plan.machines.operation[plan.mounts.machine]
        pairs, pair_of_mount = np.unique(mounted, return_inverse=True)
        self.kind, self.operation = np.divmod(pairs, operations)
        reground = [cutter.renewal.reground for cutter in works.cutters.values()]
        self.kinds = len(reground)
        columns = np.arange(3)[:, None]
        self._pair_cell = (pair_of_mount * 4 + columns).ravel()
        self._kind_cell = (plan.mounts.kind * 3 + columns).ravel()
        self._grind_min = np.array([0.0 if way is None else mean_minutes(way.minutes) for way in reground])
        self._is_reground = [way is not None for way in reground]

    def pairs_of(self, kind: int) -> list[int]:
        """Pairs of a kind; those of all kinds that are reground for -1."""
        if kind >= 0:
            return np.flatnonzero(self.kind == kind).tolist()
        return [pair for pair, each in enumerate(self.kind.tolist()) if self._is_reground[each]]

    def weights(self, tally: Tally) -> tuple[Floats, Floats]:
        """What came off by pair, (pairs, 4), and by kind, (kinds, 3).

        Columns: broken; handed in dull; renewed on the machine; the grinders' minutes, by pair only.
        """
        in_place, pairs = tally.in_place, len(self.kind)
        counts = np.concatenate((tally.unplanned, tally.planned + tally.joined - in_place, in_place))
        off = summed(self._pair_cell, counts, 4 * pairs).reshape(-1, 4)
        of_kind = summed(self._kind_cell, counts, 3 * self.kinds).reshape(-1, 3)
        dull = np.maximum(of_kind[:, 1], 1.0)
        off[:, 3] = off[:, 1] * tally.regrinds[self.kind] * self._grind_min[self.kind] / dull[self.kind]
        return off, of_kind


class _Amounts:
    """From a tally to how much is paid for, and how each is shared."""

    def __init__(self, sets: _SetsTakenOff, ways: list[_Way], pair_of_head: Ints, groups: Groups) -> None:
        self._sets = sets
        self._kind = np.array([way.kind for way in ways], dtype=np.int64)
        self._paid_for = np.array([way.paid_for for way in ways], dtype=np.int64)
        self._pair_of_head = pair_of_head
        self._column_of_head = _SHARED_BY[self._paid_for][groups.of]

    def __call__(self, tally: Tally) -> tuple[Floats, Floats]:
        off, of_kind = self._sets.weights(tally)
        paid = np.empty((len(of_kind), 5))
        paid[:, _BROKE] = np.minimum(of_kind[:, 0], tally.bought)
        paid[:, _USED_UP] = np.maximum(tally.bought - of_kind[:, 0], 0.0)
        paid[:, _REGROUND] = tally.regrinds
        paid[:, _IN_PLACE] = of_kind[:, 2]
        paid[:, _GROUND] = float(tally.busy_min[-1]) / 60.0
        return paid[self._kind, self._paid_for], off[self._pair_of_head, self._column_of_head]
