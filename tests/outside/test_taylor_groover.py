"""Tool life and machining economics against M. P. Groover, *Fundamentals of Modern Manufacturing*.

Groover's figures are from memory where not stated otherwise; the unrounded answers were worked out from the formulas.
"""

from __future__ import annotations

import numpy as np
import pytest
from scipy.optimize import least_squares, minimize_scalar

from linesim.cutting.economics import (
    edge_cost_by_grinds,
    max_production_life_min,
    min_cost_life_min,
    part_cost,
    part_minutes,
    turning_minutes,
    whole_parts_per_edge,
)
from linesim.cutting.life import taylor_from_two_tests, taylor_life_min, taylor_speed_m_min, wear_land_mm

SLOW_MIN = np.array([1.0, 5.0, 11.0, 15.0, 20.0, 25.0])
SLOW_LAND_MM = np.array([0.12, 0.27, 0.45, 0.58, 0.73, 0.97])
QUICK_MIN = np.array([1.0, 5.0, 9.0, 11.0, 13.0])
QUICK_LAND_MM = np.array([0.22, 0.47, 0.70, 0.80, 0.99])
"""Flank wear of coated carbide on hardened steel at 100 and 155 m/min, feed 0.30, depth 4.0: problem of Groover
reprinted at tutorsglobe.com 51079272 (read)."""


def test_exponent_and_constant_from_two_lives() -> None:
    """Text example, (160, 5) and (100, 41): printed n 0.223, C 229 (from memory); unrounded 0.22337, 229.22."""
    n, constant = taylor_from_two_tests(160.0, 5.0, 100.0, 41.0)
    assert n == pytest.approx(0.22337, abs=5e-6)
    assert constant == pytest.approx(229.22, abs=5e-3)
    assert (round(n, 3), round(constant)) == (0.223, 229)


def test_life_at_a_speed_between() -> None:
    """The same tool at 130 m/min: 12.666 min (derived)."""
    assert taylor_life_min(130.0, 229.0, 0.223) == pytest.approx(12.666, abs=5e-4)


def test_twenty_percent_more_speed_halves_the_life_of_carbide() -> None:
    """n = 0.25: life x 0.482 (derived)."""
    assert taylor_life_min(120.0, 500.0, 0.25) / taylor_life_min(100.0, 500.0, 0.25) == pytest.approx(0.482, abs=5e-4)


def test_wear_test_gives_the_law() -> None:
    """Criterion 0.75 mm by linear interpolation: lives 20.417 and 10.000 min, n 0.6140, C 637.3 (data read)."""
    slow = float(np.interp(0.75, SLOW_LAND_MM, SLOW_MIN))
    quick = float(np.interp(0.75, QUICK_LAND_MM, QUICK_MIN))
    assert (slow, quick) == (pytest.approx(20.417, abs=5e-4), pytest.approx(10.0))
    n, constant = taylor_from_two_tests(100.0, slow, 155.0, quick)
    assert (n, constant) == (pytest.approx(0.6140, abs=5e-5), pytest.approx(637.3, abs=0.05))


def test_wear_test_read_from_the_graph_gives_the_book_answer() -> None:
    """With the graph's 20.4 min: n 0.6147, C 638.3 (book's answer, from memory)."""
    n, constant = taylor_from_two_tests(100.0, 20.4, 155.0, 10.0)
    assert (n, constant) == (pytest.approx(0.6147, abs=5e-5), pytest.approx(638.3, abs=0.05))


def test_wear_test_has_the_three_zones() -> None:
    """Steady slope 0.03079 mm/min from 5 to 20 min, intercept 0.1150 mm; 1.56 times as steep at the end (derived)."""
    steady = slice(1, 5)
    slope, intercept = np.polyfit(SLOW_MIN[steady], SLOW_LAND_MM[steady], 1)
    assert (slope, intercept) == (pytest.approx(0.03079, abs=5e-6), pytest.approx(0.1150, abs=5e-5))
    rates = np.diff(SLOW_LAND_MM) / np.diff(SLOW_MIN)
    assert rates[0] == pytest.approx(0.0375)
    assert rates[-1] / slope == pytest.approx(1.56, abs=5e-3)


def test_the_wear_curve_follows_the_wear_test() -> None:
    """Our three-parameter curve through Groover's readings at 100 m/min: within 0.03 mm, and rising past failure."""
    share = SLOW_MIN / 20.417

    def misses(p: np.ndarray) -> np.ndarray:
        return np.array([wear_land_mm(w, 0.75, *p) for w in share]) - SLOW_LAND_MM

    fit = least_squares(misses, [0.15, 0.05, 1.2], bounds=([0.0, 0.01, 1.0], [0.6, 1.0, 3.0]))
    assert np.abs(fit.fun).max() < 0.03
    assert wear_land_mm(25.0 / 20.417, 0.75, *fit.x) > wear_land_mm(1.0, 0.75, *fit.x) + 0.13


def test_carbide_in_feet() -> None:
    """n 0.25, 400 ft/min for 45 min: C 1036.0, and 18.43 min at 500 ft/min (derived); the unit of speed drops out."""
    constant = 400.0 * 45.0**0.25
    assert constant == pytest.approx(1036.0, abs=0.05)
    assert taylor_life_min(500.0, constant, 0.25) == pytest.approx(18.43, abs=5e-3)
    assert taylor_speed_m_min(18.4320, constant, 0.25) == pytest.approx(500.0, abs=1e-3)


def test_maximum_production_example() -> None:
    """High-speed steel, n 0.125, C 70: printed T 14, V 50, 3.1 parts/h (from memory); unrounded figures derived."""
    life = max_production_life_min(0.125, 2.0)
    speed = taylor_speed_m_min(life, 70.0, 0.125)
    cutting = turning_minutes(100.0, 500.0, speed, 0.25)
    parts = whole_parts_per_edge(life, cutting)
    minutes = part_minutes(5.0, cutting, 2.0, parts)
    assert (life, parts) == (14.0, 1.0)
    assert (speed, cutting) == (pytest.approx(50.33, abs=5e-3), pytest.approx(12.484, abs=5e-4))
    assert (minutes, 60.0 / minutes) == (pytest.approx(19.484, abs=5e-4), pytest.approx(3.0795, abs=5e-5))
    assert part_cost(0.5, 5.0, cutting, 2.0, 3.0, parts) == pytest.approx(12.742, abs=5e-4)


def test_minimum_cost_example() -> None:
    """The same cut: printed T 56, V 42, N 3, cost 11.25, 2.93 parts/h (from memory); unrounded figures derived."""
    life = min_cost_life_min(0.125, 2.0, 0.5, 3.0)
    speed = taylor_speed_m_min(life, 70.0, 0.125)
    cutting = turning_minutes(100.0, 500.0, speed, 0.25)
    parts = whole_parts_per_edge(life, cutting)
    minutes = part_minutes(5.0, cutting, 2.0, parts)
    assert (life, parts) == (56.0, 3.0)
    assert (speed, cutting) == (pytest.approx(42.32, abs=5e-3), pytest.approx(14.846, abs=5e-4))
    assert (minutes, 60.0 / minutes) == (pytest.approx(20.513, abs=5e-4), pytest.approx(2.925, abs=5e-4))
    assert part_cost(0.5, 5.0, cutting, 2.0, 3.0, parts) == pytest.approx(11.256, abs=5e-4)


@pytest.mark.parametrize(
    ("n", "constant", "change", "edge_cost", "life", "speed"),
    [
        (0.13, 80.0, 3.0, edge_cost_by_grinds(20.0, 15.0, 2.0), 53.54, 47.68),
        (0.30, 650.0, 1.0, 8.0 / 6.0, 7.000, 362.56),
        (0.60, 3500.0, 1.0, 10.0 / 6.0, 2.333, 2105.1),
    ],
    ids=["high-speed steel", "carbide", "ceramic"],
)
def test_three_tool_materials(
    n: float, constant: float, change: float, edge_cost: float, life: float, speed: float
) -> None:
    """Co 40 per hour. High-speed steel: a problem of Groover (read, answer.ya.guru 7309021); others from memory."""
    best = min_cost_life_min(n, change, 40.0 / 60.0, edge_cost)
    assert best == pytest.approx(life, rel=2e-4)
    assert taylor_speed_m_min(best, constant, n) == pytest.approx(speed, rel=1e-4)


def test_cheapest_speed_by_search_equals_the_formula() -> None:
    """n 0.25, C 400, Co 1, tc 2, Ct 4: T 18.00, V 194.20, tool share n / (1 - n) = 1/3 of cutting cost (derived)."""

    def cost(speed: float) -> float:
        cutting = turning_minutes(100.0, 500.0, speed, 0.25)
        return part_cost(1.0, 5.0, cutting, 2.0, 4.0, taylor_life_min(speed, 400.0, 0.25) / cutting)

    life = min_cost_life_min(0.25, 2.0, 1.0, 4.0)
    speed = taylor_speed_m_min(life, 400.0, 0.25)
    assert (life, speed) == (pytest.approx(18.0), pytest.approx(194.20, abs=5e-3))
    found = minimize_scalar(cost, bounds=(50.0, 400.0), method="bounded", options={"xatol": 1e-7})
    assert found.x == pytest.approx(speed, rel=1e-5)
    cutting = turning_minutes(100.0, 500.0, speed, 0.25)
    tool_share = (cost(speed) - 5.0 - cutting) / cutting
    assert tool_share == pytest.approx(1.0 / 3.0)


@pytest.mark.parametrize(("speed", "low", "high"), [(90.0, 10.0, 650.0), (150.0, 3.0, 110.0), (220.0, 1.0, 25.0)])
def test_constants_for_grey_iron_give_lives_in_the_usual_range(speed: float, low: float, high: float) -> None:
    """C 200-450 with n 0.20-0.30 on EN-GJL-250 brackets 15-60 min between 90 and 220 m/min (sanity range, derived)."""
    lives = [taylor_life_min(speed, c, n) for c in (200.0, 450.0) for n in (0.20, 0.30)]
    assert min(lives) < high
    assert max(lives) > low
    assert any(15.0 < taylor_life_min(speed, c, 0.25) < 60.0 for c in range(200, 451, 5))
