"""Tool life and machining economics against M. P. Groover, *Fundamentals of Modern Manufacturing*.

Groover's figures are from memory where not stated otherwise; the unrounded answers were worked out from the formulas.
"""

from __future__ import annotations

import numpy as np
import pytest
from scipy.optimize import least_squares

from linesim.cutting.economics import Conditions, CutPrices, best_speed_m_min, conditions_at
from linesim.cutting.life import extended_taylor_life_min, wear_land_mm

SLOW_MIN = np.array([1.0, 5.0, 11.0, 15.0, 20.0, 25.0])
SLOW_LAND_MM = np.array([0.12, 0.27, 0.45, 0.58, 0.73, 0.97])
"""Flank wear of coated carbide on hardened steel at 100 m/min, feed 0.30, depth 4.0: problem of Groover
reprinted at tutorsglobe.com 51079272 (read)."""


def life_min(speed: float, constant: float, n: float) -> float:
    """Taylor's law, C being the speed at which the edge lives one minute."""
    return extended_taylor_life_min(speed, 1.0, 1.0, 1.0, constant, 1.0, 1.0, n, 0.0, 0.0, 1.0)


def test_two_lives_of_the_text_example() -> None:
    """(160 m/min, 5 min) and (100, 41): printed n 0.223, C 229 (from memory); unrounded 0.22337, 229.22."""
    assert life_min(160.0, 229.22, 0.22337) == pytest.approx(5.0, rel=2e-4)
    assert life_min(100.0, 229.22, 0.22337) == pytest.approx(41.0, rel=2e-4)


def test_life_at_a_speed_between() -> None:
    """The same tool at 130 m/min: 12.666 min (derived)."""
    assert life_min(130.0, 229.0, 0.223) == pytest.approx(12.666, abs=5e-4)


def test_twenty_percent_more_speed_halves_the_life_of_carbide() -> None:
    """n = 0.25: life x 0.482 (derived)."""
    assert life_min(120.0, 500.0, 0.25) / life_min(100.0, 500.0, 0.25) == pytest.approx(0.482, abs=5e-4)


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
    assert life_min(500.0, constant, 0.25) == pytest.approx(18.43, abs=5e-3)


@pytest.mark.parametrize(
    ("n", "constant", "change", "edge_cost", "life", "speed"),
    [
        (0.13, 80.0, 3.0, 20.0 / 15.0 + 2.0, 53.54, 47.68),
        (0.30, 650.0, 1.0, 8.0 / 6.0, 7.000, 362.56),
        (0.60, 3500.0, 1.0, 10.0 / 6.0, 2.333, 2105.1),
    ],
    ids=["high-speed steel", "carbide", "ceramic"],
)
def test_three_tool_materials(
    n: float, constant: float, change: float, edge_cost: float, life: float, speed: float
) -> None:
    """Co 40 per hour. High-speed steel: a problem of Groover (read, answer.ya.guru 7309021); others from memory."""
    cut = Conditions(constant, 1.0, 1.0, 1.0, 0.0, n, 0.0, 0.0)
    best = best_speed_m_min(cut, 1.0, CutPrices(40.0 / 60.0, change, edge_cost))
    assert best == pytest.approx(speed, rel=1e-4)
    assert conditions_at(cut, best, 1.0).life_min == pytest.approx(life, rel=2e-4)
