"""How far beyond its limit a part would be better sold at a concession than rejected, by what may fail later."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from typing import NamedTuple, get_args

from linesim.quality.consequences import (
    chance_of_reject,
    chance_worth_a_concession,
    deviation_at_chance,
    strength_of,
)
from linesim.words import keep
from linesim.works.consequences import Consequence, Weighed
from linesim.works.model import Line, Works
from linesim.works.rejecting import cost_of_rejecting, rejecting_gauge, value_lost
from linesim.works.types_of import has_worth, shares_of, worth_of_mix, worths_shipped_out

__all__ = ["on_concessions"]

_HALVINGS = 60


class _Risk(NamedTuple):
    """A test still to come or a failure in the field that weighs one component; deviations in units of its limit."""

    name: str
    cost: float
    weight: float
    mean: float
    spread: float
    floor: float

    def expected(self, times: float) -> float:
        """Money to be expected for a part that is off by so many times its limit, and on aim in all else."""
        return self.cost * chance_of_reject(self.weight * times, self.mean, self.spread, self.floor)

    def times_at(self, chance: float) -> float:
        """How many times its limit a part must be off for this chance."""
        return deviation_at_chance(chance, self.mean, self.spread, self.floor) / self.weight


def on_concessions(works: Works) -> Iterator[str]:
    """Remark on each component with failures in the field that a gauge turns parts down for.

    Parameters
    ----------
    works : Works
        The checked scenario.

    Yields
    ------
    str
        Up to how many times its limit a part would be better sold than rejected, with the figures it rests on. Only
        lines of which a part has a worth, also when it is out of the drawing, and failures that cost anything.

    Notes
    -----
    The gauge is the last that turns parts down for the component, and the cost of rejecting is that of
    `linesim.works.rejecting`. Tests behind the gauge count beside the field, each as if it came by itself; what a test
    catches does not fail in the field, so that the answer is on the safe side. A salvaged part comes to its aim, and
    is held against what such a part costs later.
    """
    for name, line in works.lines.items():
        out = worths_shipped_out(line)
        if not has_worth(line) or not any(out):
            continue
        price = sum(share * worth for share, worth in zip(shares_of(line), out, strict=True))
        for feature, component in _weighed_in_field(line):
            at = rejecting_gauge(line, feature, component)
            if at is not None:
                yield _on_concession(name, line, (feature, component), at, price)


def _weighed_in_field(line: Line) -> Iterator[tuple[str, Weighed]]:
    """Features and components from which failures in the field come, in the order of the drawing."""
    weighed = {
        (feature, component)
        for failure in line.later.field.values()
        for feature, row in failure.weights.items()
        for component, weight in row.items()
        if weight > 0.0 and failure.cost > 0.0
    }
    yield from ((name, each) for name in line.features for each in get_args(Weighed) if (name, each) in weighed)


def _risks(line: Line, feature: str, component: Weighed, operation: str) -> list[_Risk]:
    """What a component of a part may cost later once it has left an operation."""
    names = list(line.operations)
    costs: list[tuple[str, Consequence, float]] = []
    for name in names[names.index(operation) :]:
        test = line.operations[name].test
        if test is not None:
            costs.append((name, test, value_lost(line, name) if test.repair is None else test.repair.cost))
    costs += [(name, failure, failure.cost) for name, failure in line.later.field.items()]
    return [
        _Risk(name, cost, weight, *strength_of(spec.at_limit, spec.at_twice), spec.floor)
        for name, spec, cost in costs
        if cost > 0.0 and (weight := spec.weights.get(feature, {}).get(component, 0.0)) > 0.0
    ]


def _times(risks: Sequence[_Risk], rejecting: float, given_up: float) -> float:
    """How many times its limit a part may be off until selling it costs as much as rejecting it."""
    chance = chance_worth_a_concession(rejecting, given_up, sum(risk.cost for risk in risks))
    # Where all of them have this chance they cost as much together; one of them alone is met at once.
    each = [risk.times_at(chance) for risk in risks]
    low, high = min(each), max(each)
    if math.isinf(high) or low == high:
        return low
    for _ in range(_HALVINGS):
        middle = 0.5 * (low + high)
        costs_less = given_up + sum(risk.expected(middle) for risk in risks) < rejecting
        low, high = (middle, high) if costs_less else (low, middle)
    return 0.5 * (low + high)


def _on_concession(name: str, line: Line, of: tuple[str, Weighed], at: tuple[str, str], price: float) -> str:
    (feature, component), (operation, gauge_name) = of, at
    gauge = line.operations[operation].gauges[gauge_name]
    cost, given_up = cost_of_rejecting(line, operation, gauge), worth_of_mix(line) - price
    risks = _risks(line, feature, component, operation)
    on_aim = sum(risk.expected(0.0) for risk in risks) if gauge.reject == "salvage" else 0.0
    times = _times(risks, cost + on_aim, given_up)
    key = "desk.sold_never" if times <= 1.0 else "desk.sold_always" if math.isinf(times) else "desk.sold_up_to"
    is_full = line.worth_out_of_drawing == "full"
    return keep(
        key, line=name, gauge=gauge_name, what=keep(f"characteristics.{component}"), feature=feature, times=times,
        price=keep("desk.at_full_worth") if is_full else keep("desk.at_concession", amount=price),
        cost=cost, given_up=given_up, expected=sum(risk.expected(max(times, 1.0)) for risk in risks) - on_aim,
        failures=[keep("desk.failure_costs", name=risk.name, cost=risk.cost) for risk in risks],
    )  # fmt: skip
