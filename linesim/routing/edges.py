"""What one edge of a cutter set costs, the setter's and the grinder's time in it."""

from __future__ import annotations

from linesim.cutting.economics import edge_cost_over_edges
from linesim.cutting.regrinding import regrind_takes_mm, regrinds_from_stock
from linesim.plan.times import mean_minutes
from linesim.works import Works
from linesim.works.operations import Operation

__all__ = ["change_minutes", "edge_cost"]


def change_minutes(works: Works, operation: Operation, cutter: str) -> float:
    """Minutes for which the machine stands at one change of one set, getting at the spindle in it."""
    return mean_minutes(operation.access) + mean_minutes(works.cutters[cutter].change)


def edge_cost(works: Works, operation: Operation, cutter: str, wear_limit_mm: float) -> float:
    """Money of one edge: its share of the set's price, making it sharp, and the setter's time.

    Parameters
    ----------
    works : Works
        Prices.
    operation : Operation
        Where it is changed; names the setters.
    cutter : str
        The set.
    wear_limit_mm : float
        Wear land at which it is reground.

    Returns
    -------
    float, money
        (P + R c) / (R + 1) for R renewals; see `linesim.cutting.economics.edge_cost_over_edges`.
    """
    spec = works.cutters[cutter]
    setters = None if operation.setters is None else works.people[operation.setters]
    is_called = spec.renewal.dressed is None or not spec.renewal.dressed.by_machine
    setting = (
        0.0 if setters is None or not is_called else setters.rate / 60.0 * change_minutes(works, operation, cutter)
    )
    way = spec.renewal
    if way.reground is not None:
        takes = regrind_takes_mm(wear_limit_mm, way.reground.per_wear_land, way.reground.margin)
        times = regrinds_from_stock(way.reground.stock, takes)
        each = way.reground.cost + works.crib.rate / 60.0 * mean_minutes(way.reground.minutes)
    elif way.indexed is not None:
        times, each = float(way.indexed.edges - 1), way.indexed.cost
    elif way.dressed is not None:
        times, each = float(way.dressed.times), way.dressed.cost
    else:
        times, each = 0.0, 0.0
    return float(edge_cost_over_edges(spec.price, times, each)) + setting
