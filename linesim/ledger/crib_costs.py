"""What new cutters, regrinds, dressings and indexing cost, shared out over the operations whose sets they renew."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from linesim.ledger.places import Station
from linesim.ledger.rows import Item, Place, Rows, Target
from linesim.plan.tables import Floats, Ints, Plan
from linesim.plan.tally import Tally
from linesim.plan.times import mean_minutes
from linesim.works.model import Works

__all__ = ["enter_crib"]


@dataclass(frozen=True)
class _Sets:
    """What became of the sets of one kind, by the operations that mount it."""

    places: list[Place]
    broken: Floats
    worn: Floats
    """Taken off by a rule and handed in."""
    in_place: Floats

    def targets(self, item: Item, cause: str, kind: str, weights: Floats) -> list[Target]:
        """Where an amount for this kind goes."""
        return [
            Target(place, item, cause, kind, weight)
            for place, weight in zip(self.places, weights.tolist(), strict=True)
        ]


def enter_crib(rows: Rows, works: Works, plan: Plan, stations: Sequence[Station], tally: Tally) -> None:
    """Enter new cutters, regrinds with the tool grinders' time, dressings and indexing.

    Parameters
    ----------
    rows : Rows
        Takes the rows.
    works, plan : Works, Plan
        Kinds of cutter, their prices, and where they are mounted.
    stations : sequence of Station
        All operations.
    tally : Tally
        Of the run.
    """
    grinding: list[Target] = []
    for number, (name, cutter) in enumerate(works.cutters.items()):
        sets, renewal = _sets(number, plan, stations, tally), cutter.renewal
        bought, broken = int(tally.bought[number]), int(sets.broken.sum())
        _enter(rows, sets, Item.NEW_CUTTERS, "broke", name, sets.broken, min(broken, bought), cutter.price)
        _enter(rows, sets, Item.NEW_CUTTERS, "used up", name, sets.worn, max(bought - broken, 0), cutter.price)
        if renewal.reground is not None:
            regrinds = int(tally.regrinds[number])
            cost = renewal.reground.cost
            _enter(rows, sets, Item.REGRINDS, "wheel and sundries", name, sets.worn, regrinds, cost)
            weights = sets.worn * regrinds * mean_minutes(renewal.reground.minutes) / max(sets.worn.sum(), 1.0)
            grinding += sets.targets(Item.REGRINDS, "tool grinder's time", name, weights)
        for way, renewed in (("indexed", renewal.indexed), ("dressed", renewal.dressed)):
            if renewed is not None:
                count = int(sets.in_place.sum())
                _enter(rows, sets, Item.IN_PLACE, way, name, sets.in_place, count, renewed.cost)
    rows.add_shared(grinding, float(tally.busy_min[-1]) / 60.0, "h", works.crib.rate)


def _enter(
    rows: Rows, sets: _Sets, item: Item, cause: str, kind: str, weights: Floats, count: int, price: float
) -> None:
    rows.add_shared(sets.targets(item, cause, kind, weights), count, "set", price)


def _sets(kind: int, plan: Plan, stations: Sequence[Station], tally: Tally) -> _Sets:
    """Count what came off, by the operations that mount a kind."""
    mounts = np.flatnonzero(plan.mounts.kind == kind)
    at = plan.machines.operation[plan.mounts.machine[mounts]]
    operations = np.unique(at)

    def summed(counts: Ints) -> Floats:
        return np.array([counts[at == operation].sum() for operation in operations], dtype=np.float64)

    in_place = tally.in_place[mounts]
    return _Sets(
        [stations[operation].place for operation in operations.tolist()],
        summed(tally.unplanned[mounts]),
        summed(tally.planned[mounts] + tally.joined[mounts] - in_place),
        summed(in_place),
    )
