"""Speed and feed within bounds, against the classical worked examples.

Groover, *Fundamentals of Modern Manufacturing*, examples "maximum production rate" and "minimum cost" (from memory);
P. C. Sharma, *A Textbook of Production Engineering*, ch. 14 example 4 for the extended equation (read; exponents from
memory); the share of tools in the cost at the cheapest speed follows from the formula (derived).
"""

from __future__ import annotations

import math

import pytest

from linesim.cutting.economics import (
    Conditions,
    CutPrices,
    SpeedBounds,
    best_conditions,
    best_speed_m_min,
    conditions_at,
)
from linesim.cutting.kinematics import cutting_minutes, feed_rate_mm_min, spindle_speed_rpm

FREE = SpeedBounds(1.0, 1000.0, 0.25, 0.25)


def turned(speed: float, n: float, constant: float) -> Conditions:
    """The bar of the examples: 100 mm by 500 mm at 0.25 mm."""
    minutes = cutting_minutes(500.0, 0.0, 0.0, feed_rate_mm_min(0.25, spindle_speed_rpm(speed, 100.0)))
    return Conditions(speed, 0.25, minutes, (constant / speed) ** (1.0 / n), 0.0, n, 0.0, 0.0)


def test_fastest_production_of_groovers_example() -> None:
    found = best_conditions(turned(60.0, 0.125, 70.0), CutPrices(math.inf, 2.0, 3.0), FREE)
    assert found.life_min == pytest.approx(14.00, abs=0.005)
    assert found.speed_m_min == pytest.approx(50.33, abs=0.005)
    assert found.cut_min == pytest.approx(12.484, abs=0.001)


def test_least_cost_of_groovers_example() -> None:
    found = best_conditions(turned(60.0, 0.125, 70.0), CutPrices(0.5, 2.0, 3.0), FREE)
    assert found.life_min == pytest.approx(56.00, abs=0.005)
    assert found.speed_m_min == pytest.approx(42.32, abs=0.005)
    assert found.cut_min == pytest.approx(14.846, abs=0.001)


@pytest.mark.parametrize("edge", [0.5, 4.0, 40.0])
def test_at_the_cheapest_speed_tools_cost_a_share_that_prices_do_not_move(edge: float) -> None:
    prices = CutPrices(1.0, 2.0, edge)
    found = best_conditions(turned(150.0, 0.25, 400.0), prices, FREE)
    edges = found.cut_min / found.life_min
    assert (2.0 * edges + edge * edges) / found.cut_min == pytest.approx(1.0 / 3.0, rel=1e-6)


def test_the_cheapest_speed_is_the_least_of_the_cost_curve() -> None:
    base, prices = turned(150.0, 0.25, 400.0), CutPrices(1.0, 2.0, 4.0)
    best = best_speed_m_min(base, 0.25, prices)
    assert best == pytest.approx(194.20, abs=0.005)
    least = prices.of_part(conditions_at(base, best, 0.25))
    assert all(prices.of_part(conditions_at(base, best * factor, 0.25)) > least for factor in (0.99, 1.01))


def test_the_extended_equation_of_sharmas_example() -> None:
    # V T^0.13 f^0.77 d^0.37 = C: +20 % of speed 14.759 min, +20 % of feed 20.378 min, from 60 min.
    base = Conditions(30.0, 0.3, 1.0, 60.0, 0.0, 0.13, 0.77 / 0.13, 0.0)
    assert conditions_at(base, 36.0, 0.3).life_min == pytest.approx(14.759, abs=0.001)
    assert conditions_at(base, 30.0, 0.36).life_min == pytest.approx(20.378, abs=0.001)


def test_bounds_hold_and_are_named() -> None:
    base = Conditions(100.0, 0.2, 5.0, 60.0, 4.0, 0.25, 0.5, 0.25)
    prices = CutPrices(1.0, 4.0, 6.0)
    free = best_conditions(base, prices, SpeedBounds(20.0, 400.0, 0.1, 0.4))
    assert free.feed_mm == pytest.approx(0.4)
    assert free.bound_by == ("feed",)
    rough = best_conditions(base, prices, SpeedBounds(20.0, 400.0, 0.1, 0.4, rough_mm=0.25))
    assert rough.feed_mm == pytest.approx(0.25)
    assert "roughness" in rough.bound_by
    weak = best_conditions(base, prices, SpeedBounds(20.0, 400.0, 0.1, 0.4, rating_kw=3.0))
    assert weak.power_kw <= 3.0 + 1e-9
    slow = best_conditions(base, prices, SpeedBounds(20.0, 400.0, 0.1, 0.4, spindle_m_min=50.0))
    assert slow.speed_m_min == pytest.approx(50.0)
    assert "spindle speed" in slow.bound_by


def test_where_a_minute_is_worth_nothing_slower_is_cheaper_up_to_the_time_there_is() -> None:
    base = Conditions(100.0, 0.2, 5.0, 60.0, 0.0, 0.25, 0.0, 0.25)
    found = best_conditions(base, CutPrices(0.0, 4.0, 6.0), SpeedBounds(20.0, 400.0, 0.2, 0.2, most_min=8.0))
    assert found.cut_min == pytest.approx(8.0)
    assert found.bound_by[0] == "time"


def test_power_and_feed_optimum_agrees_with_a_search_over_a_grid() -> None:
    base = Conditions(100.0, 0.2, 5.0, 60.0, 4.0, 0.25, 1.6, 0.25)
    prices, bounds = CutPrices(1.0, 4.0, 6.0), SpeedBounds(20.0, 400.0, 0.1, 0.5, rating_kw=5.0)
    found = best_conditions(base, prices, bounds)
    grid = [
        conditions_at(base, 20.0 * 1.01**i, 0.1 * 1.02**j)
        for i in range(300)
        for j in range(82)
    ]  # fmt: skip
    allowed = [each for each in grid if each.power_kw <= 5.0 and each.speed_m_min <= 400.0 and each.feed_mm <= 0.5]
    least = min(prices.of_part(each) for each in allowed)
    assert prices.of_part(found) <= least
    assert prices.of_part(found) == pytest.approx(least, rel=6e-3)  # the mesh of the grid


def test_the_machine_drives_the_edge_to_the_end_of_its_life() -> None:
    """4 kW sharp and 1 kW more worn at 100 m/min, both with the speed: 3 kW let 60 m/min through (by hand)."""
    base = Conditions(100.0, 0.2, 5.0, 60.0, 4.0, 0.25, 0.5, 0.25, worn_kw=1.0)
    bounds = SpeedBounds(20.0, 400.0, 0.2, 0.2, rating_kw=3.0)
    best = best_conditions(base, CutPrices(math.inf, 0.1, 0.0), bounds)
    assert best.speed_m_min == pytest.approx(60.0)
    assert best.power_kw + best.worn_kw == pytest.approx(3.0)
    assert "power" in best.bound_by


def test_what_a_coarser_finish_loses_holds_the_feed_back() -> None:
    """With x = f / 0.2: 1 EUR/min x 1 / x min and a loss of 2 x^4 are least at x = 8^(-1/5) (by hand)."""
    base = Conditions(100.0, 0.2, 1.0, 1e9, 0.0, 0.25, 0.0, 0.25)
    prices = CutPrices(1.0, 0.0, 0.0, lambda feed_mm: 2.0 * (feed_mm / 0.2) ** 4)
    best = best_conditions(base, prices, SpeedBounds(100.0, 100.0, 0.05, 0.4))
    assert best.feed_mm == pytest.approx(0.2 * 8.0 ** (-1.0 / 5.0), rel=1e-3)
