"""One run week by week: what the tool room has to do in each week, and what that costs."""

from __future__ import annotations

from collections.abc import Iterator
from typing import NamedTuple

import numpy as np

from linesim.fast.run import FastFloor
from linesim.floor.run import Floor
from linesim.ledger import ITEMS, Item, Ledger
from linesim.plan.plan import Plan
from linesim.plan.tables import Floats, Ints
from linesim.plan.tally import Tally

__all__ = ["ITEMS_OF_ROOM", "Week", "weeks_of"]

ITEMS_OF_ROOM = (Item.NEW_CUTTERS, Item.REGRINDS, Item.IN_PLACE)
"""What the tool room spends money on, as the ledger has it."""


class Week(NamedTuple):
    """What one week asks of the tool room.

    Attributes
    ----------
    changes : array of float, (kinds,)
        Sets changed, those that broke included.
    broken : array of float, (kinds,)
        Of these, sets that broke.
    in_place : array of float, (kinds,)
        Of these, sets indexed or dressed where they were, which never come to the tool room.
    regrinds, used_up : array of float, (kinds,)
        Sets ground sharp again; sets that are no more, for which a new one is ordered.
    out_at_most : array of float, (kinds,)
        The most sets that were not on the shelf at once: mounted, dull, in the grinding or on order.
    waited_min : array of float, (kinds,)
        Minutes that machines waited for a sharp set.
    grinder_h : float
        Hours that the tool grinders were busy.
    money : array of float, (items,)
        In the order of `ITEMS_OF_ROOM`.
    """

    changes: Floats
    broken: Floats
    in_place: Floats
    regrinds: Floats
    used_up: Floats
    out_at_most: Floats
    waited_min: Floats
    grinder_h: float
    money: Floats


def weeks_of(plan: Plan, ledger: Ledger, key: tuple[int, int], span: tuple[int, float], engine: str) -> Iterator[Week]:
    """Run a plan week by week.

    Parameters
    ----------
    plan : Plan
        What is run: first its warm-up, of which nothing is counted.
    ledger : Ledger
        Of the same works.
    key : (int, int)
        Seed and replication.
    span : (int, float)
        How many weeks, and the worked minutes of one.
    engine : {"fast", "simpy"}
        Both give the same.

    Yields
    ------
    Week
    """
    floor = FastFloor(plan, *key) if engine == "fast" else Floor(plan, *key)
    count, week_min = span
    floor.run_until(plan.warm_up_min)
    for number in range(1, count + 1):
        floor.start_counting()
        floor.run_until(plan.warm_up_min + number * week_min)
        yield _week(plan, ledger, floor.finish())


def _week(plan: Plan, ledger: Ledger, tally: Tally) -> Week:
    kinds = len(plan.kinds.sets)

    def of_kind(values: Ints) -> Floats:
        return np.bincount(plan.mounts.kind, weights=values, minlength=kinds).astype(np.float64)

    sums = ledger.sums(tally).sum(axis=0) / 100.0
    return Week(
        of_kind(tally.planned + tally.joined + tally.unplanned),
        of_kind(tally.unplanned),
        of_kind(tally.in_place),
        tally.regrinds.astype(np.float64),
        tally.bought.astype(np.float64),
        (plan.kinds.sets - tally.fewest_sharp).astype(np.float64),
        tally.set_waited_min.astype(np.float64),
        float(tally.busy_min[-1]) / 60.0,
        np.array([sums[ITEMS.index(item.value)] for item in ITEMS_OF_ROOM], dtype=np.float64),
    )
