"""Regrinds from a stock and the cost of an edge.

Geometry and arithmetic derived; the limits on diameter are those of delmarvagrinding.com (read). That a larger land
needs more ground off: Mitsubishi Materials training page (read).
"""

from __future__ import annotations

import pytest

from linesim.cutting.economics import edge_cost_over_edges
from linesim.cutting.regrinding import regrind_takes_mm, regrinds_from_stock


@pytest.mark.parametrize(
    ("price", "cost", "grinds", "each"),
    [(20.0, 2.0, 15.0, 3.1250), (120.0, 15.0, 8.0, 26.667), (400.0, 60.0, 12.0, 86.154)],
)
def test_the_price_is_shared_by_all_edges_the_new_one_too(
    price: float, cost: float, grinds: float, each: float
) -> None:
    """(P + R c) / (R + 1) (derived); Groover's P / n + c leaves the new edge out, and is dearer."""
    assert edge_cost_over_edges(price, grinds, cost) == pytest.approx(each, rel=2e-5)


@pytest.mark.parametrize(
    ("land", "life", "regrinds", "total", "per_min"),
    [(0.3, 30.0, 7.0, 240.0, 0.9375), (0.6, 50.0, 4.0, 250.0, 0.7200), (0.9, 55.0, 3.0, 220.0, 0.7500)],
)
def test_running_duller_means_fewer_regrinds(
    land: float, life: float, regrinds: float, total: float, per_min: float
) -> None:
    """Stock 3.0 mm, margin 0.1, price 120, regrind 15: the middle limit is the cheapest (derived).

    3 / (0.9 + 0.1) must give 3 and not 2.
    """
    found = regrinds_from_stock(3.0, regrind_takes_mm(land, 1.0, 0.1))
    assert found == regrinds
    assert (found + 1.0) * life == total
    assert edge_cost_over_edges(120.0, found, 15.0) / life == pytest.approx(per_min)


def test_a_half_inch_mill() -> None:
    """12.7 mm may lose 15 % of its diameter (read), 1.905 mm; 0.25 mm at each regrind makes 7."""
    stock = 0.15 * 12.7
    assert stock == pytest.approx(1.905)
    assert regrinds_from_stock(stock, 0.25) == 7.0
