"""The interval of one set by itself: renewal reward over its planned change, its breaking and what it spoils.

Cost of a part in the long run, C(N) = [cp(N) R(N) + cf F(N) + sum of part costs up to the change] / E[parts], least
over whole N. R(j) is the share of edges that outlive j parts, over the scatter of lives. With nothing spoiled this is
Barlow and Proschan's age replacement in parts (`linesim.cutting.replacement`); with drift and Taguchi's loss and no
breaking it is the cheapest length of a drifting run. Source: R. E. Barlow and F. Proschan, *Mathematical Theory of
Reliability*, Wiley 1965, chapter 4; renewal reward after S. M. Ross, *Stochastic Processes* (from memory).
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import cache
from typing import NamedTuple

import numpy as np

from linesim.chance import lognormal_value
from linesim.cutting.economics import edge_cost_over_edges
from linesim.cutting.life import wear_land_mm
from linesim.cutting.regrinding import regrind_past_limit_mm, regrind_takes_mm
from linesim.plan.plan import Plan
from linesim.plan.tables import Floats
from linesim.plan.times import mean_minutes
from linesim.study.search.common.set_at import SetAt
from linesim.study.search.intervals.drift import SHARES, PartCost, part_costs
from linesim.works import Works

__all__ = ["Renewal", "Weights", "renewal_of"]

_LIVES = 15
_MOST_PARTS = 200_000
_SOME = 1e-12


@dataclass(frozen=True)
class Weights:
    """What things count for, in the unit of the goal (money, or parts where output alone counts).

    Attributes
    ----------
    minute : float
        One minute of standstill at the machine.
    money : float
        One unit of money spent.
    loss : float
        One unit of money of quality loss.
    scrapped : float
        One part scrapped by a gauge here.
    broken : float
        One part lost here because its edge broke.
    """

    minute: float
    money: float
    loss: float
    scrapped: float
    broken: float


@dataclass(frozen=True)
class Renewal:
    """What a set costs for each part, by the interval at which it is changed.

    Attributes
    ----------
    set_at : SetAt
        The set.
    survival : array
        Share of edges that outlive 0, 1, 2 ... parts.
    edge_money : array
        Cost of one edge that is changed after 1, 2 ... parts.
    lost_money : float
        What is lost with a set that breaks, beside its edge.
    change_min, extra_min : float, min
        One planned change, and what an unplanned one takes more.
    expected : PartCost
        Loss, chance of scrap, salvage and recuts of the 1st, 2nd ... part of an edge, times the chance that it is cut.
    recut_min : float, min
        One recut.
    """

    set_at: SetAt
    survival: Floats
    edge_money: Floats
    lost_money: float
    change_min: float
    extra_min: float
    expected: PartCost
    recut_min: float

    def costs(self, weights: Weights) -> Floats:
        """Cost per part for intervals of 1, 2, 3 ... parts, in the unit of the goal."""
        alive = self.survival[1:]
        planned = weights.minute * self.change_min + weights.money * self.edge_money
        # An edge that breaks has been used to the same wear at most; its set is gone, and the part with it.
        failed = planned + weights.minute * self.extra_min + weights.money * self.lost_money + weights.broken
        loss, scrapped, salvaged, recuts = self.expected
        spoiled = weights.loss * loss + weights.scrapped * scrapped + weights.money * salvaged
        spoiled = np.cumsum(spoiled + weights.minute * self.recut_min * recuts)
        costs: Floats = (planned * alive + failed * (1.0 - alive) + spoiled) / np.cumsum(self.survival[:-1])
        return costs

    def best(self, weights: Weights) -> int:
        """Parts after which changing is cheapest; the greatest looked at where changing early never pays."""
        return int(np.argmin(self.costs(weights))) + 1


def renewal_of(works: Works, plan: Plan, set_at: SetAt) -> Renewal:
    """What one set costs by itself, as far as it can be worked out.

    Parameters
    ----------
    works, plan : Works, Plan
        The scenario and its plan.
    set_at : SetAt
        The set.

    Returns
    -------
    Renewal
    """
    cutter = works.cutters[set_at.cutter]
    operation = works.lines[set_at.line].operations[set_at.operation]
    count = min(max(math.ceil(set_at.most_lives * set_at.parts_per_life), 1), _MOST_PARTS)
    lives = _lives(plan, set_at)
    alive = _alive(plan, set_at, lives, count)
    costs = part_costs(works, plan, set_at.mount)
    expected = PartCost(*(_over_lives(set_at, lives, alive, column) for column in costs))
    salvage = _salvage_cost(works, set_at)
    change_min = mean_minutes(operation.access) + mean_minutes(cutter.change)
    edge_money, lost_money = _edge_money(works, plan, set_at, count)
    return Renewal(
        set_at=set_at,
        survival=alive @ lives.weights,
        edge_money=edge_money,
        lost_money=lost_money,
        change_min=change_min,
        extra_min=mean_minutes(cutter.extra_when_broken),
        expected=expected._replace(salvaged=salvage * expected.salvaged),
        recut_min=set_at.minutes,
    )


class _Lives(NamedTuple):
    """Life factors of edges and their weights."""

    factors: Floats
    weights: Floats


def _lives(plan: Plan, set_at: SetAt) -> _Lives:
    """Life factors over the lognormal scatter, by Gauss and Hermite."""
    kind = int(plan.mounts.kind[set_at.mount])
    cv, reground = float(plan.kinds.life_cv[kind]), float(plan.kinds.reground_life[kind])
    if cv <= 0.0:
        return _Lives(np.array([reground]), np.array([1.0]))
    nodes, weights = _nodes()
    factors = np.array([reground * lognormal_value(1.0, cv, node) for node in nodes.tolist()])
    return _Lives(factors, weights / weights.sum())


@cache
def _nodes() -> tuple[Floats, Floats]:
    """Worked out once, as it takes longer than all that is done with it for one set."""
    return np.polynomial.hermite_e.hermegauss(_LIVES)


def _alive(plan: Plan, set_at: SetAt, lives: _Lives, count: int) -> Floats:
    """Share of edges of each life factor that outlive 0, 1, ... parts; shape (count + 1, factors)."""
    kind = int(plan.mounts.kind[set_at.mount])
    shape, scale = float(plan.kinds.break_shape[kind]), float(plan.kinds.break_scale[kind])
    shares = np.arange(count + 1)[:, None] * set_at.minutes / (set_at.life_min * lives.factors[None, :])
    return np.ones_like(shares) if math.isinf(scale) else np.exp(-((shares / scale) ** shape))


def _over_lives(set_at: SetAt, lives: _Lives, alive: Floats, by_share: Floats) -> Floats:
    """A cost by life share, for each part of an edge, over the scatter of lives, times the chance that it is cut."""
    parts = np.arange(alive.shape[0] - 1)[:, None]
    shares = parts * set_at.minutes / (set_at.life_min * lives.factors[None, :])
    answer: Floats = (alive[:-1] * np.interp(shares, SHARES, by_share)) @ lives.weights
    return answer


def _salvage_cost(works: Works, set_at: SetAt) -> float:
    """Cost of one part on the salvage bench, the mean over the gauges of the line that send parts there."""
    gauges = [
        gauge.salvage_cost
        for operation in works.lines[set_at.line].operations.values()
        for gauge in operation.gauges.values()
        if gauge.reject == "salvage"
    ]
    return sum(gauges) / len(gauges) if gauges else 0.0


def _edge_money(works: Works, plan: Plan, set_at: SetAt, count: int) -> tuple[Floats, float]:
    """Cost of one edge changed after 1, 2 ... parts, and what breaking loses beside: half of the set's other edges."""
    cutter = works.cutters[set_at.cutter]
    renewal, price = cutter.renewal, cutter.price
    uses = 1.0
    if renewal.indexed is not None:
        uses = float(renewal.indexed.edges)
        each = edge_cost_over_edges(price, uses - 1.0, renewal.indexed.cost)
    elif renewal.dressed is not None:
        uses = renewal.dressed.times + 1.0
        each = edge_cost_over_edges(price, uses - 1.0, renewal.dressed.cost)
    elif renewal.reground is not None:
        return _reground_money(works, plan, set_at, count)
    else:
        each = price
    return np.full(count, each), max(price * (uses - 1.0) / (2.0 * uses), 0.0)


def _reground_money(works: Works, plan: Plan, set_at: SetAt, count: int) -> tuple[Floats, float]:
    """Cost of an edge that is reground: the duller it comes off, the fewer edges a set has."""
    cutter, kinds, kind = works.cutters[set_at.cutter], plan.kinds, int(plan.mounts.kind[set_at.mount])
    reground = cutter.renewal.reground
    assert reground is not None
    grind = reground.cost + works.crib.rate * mean_minutes(reground.minutes) / 60.0
    columns = (kinds.wear_limit_mm, kinds.wear_b, kinds.wear_tau, kinds.wear_gamma)
    curve = tuple(float(column[kind]) for column in columns)
    shares = np.arange(1, count + 1) * set_at.minutes / set_at.life_min
    lands = [wear_land_mm(share, *curve) for share in shares.tolist()]
    takes = [
        regrind_past_limit_mm(
            regrind_takes_mm(land, reground.per_wear_land, reground.margin), land, curve[0], reground.past_limit
        )
        for land in lands
    ]
    regrinds = [reground.stock / max(each, _SOME) for each in takes]
    money = np.array([edge_cost_over_edges(cutter.price, times, grind) for times in regrinds])
    middle = regrinds[min(len(regrinds), max(1, round(set_at.parts_per_life))) - 1]
    return money, cutter.price * middle / (2.0 * (middle + 1.0))
