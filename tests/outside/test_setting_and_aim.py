"""Setting and aim: moments of the wear curve, drift. Exact arithmetic (second way: quadrature)."""

from __future__ import annotations

import math

import pytest
from scipy.integrate import quad

from linesim.cutting.life import wear_growth
from linesim.cutting.setting import mean_growth, mean_growth_met

CURVE = (0.32, 0.057, 1.4)


@pytest.mark.parametrize(("until", "mean", "sd"), [(1.0, 0.58509, 0.23188), (0.7, 0.46591, 0.16403)])
def test_moments_of_the_wear_curve(until: float, mean: float, sd: float) -> None:
    assert mean_growth(until, *CURVE) == pytest.approx(mean, abs=6e-6)
    by_quadrature = quad(lambda w: wear_growth(w, *CURVE), 0.0, until)[0] / until
    assert mean_growth(until, *CURVE) == pytest.approx(by_quadrature, rel=1e-6)
    square = quad(lambda w: wear_growth(w, *CURVE) ** 2, 0.0, until)[0] / until
    assert math.sqrt(square - mean * mean) == pytest.approx(sd, abs=2e-5)


def test_aim_makes_the_mean_square_seven_times_less() -> None:
    """7.3667: rms squared over variance of the curve over a whole life; the aim itself is 6.1496 µm of 10.51."""
    assert 10.510 * mean_growth_met(1.0, math.inf, *CURVE) == pytest.approx(6.1496, abs=5e-4)
    aim = mean_growth(1.0, *CURVE)
    without = quad(lambda w: wear_growth(w, *CURVE) ** 2, 0.0, 1.0)[0]
    with_aim = quad(lambda w: (wear_growth(w, *CURVE) - aim) ** 2, 0.0, 1.0)[0]
    assert without / with_aim == pytest.approx(7.3667, abs=5e-4)


@pytest.mark.parametrize("parts", [1, 2, 5, 20, 200])
def test_mean_over_the_parts_that_an_edge_meets(parts: int) -> None:
    """Straight: (N - 1) / 2 steps exactly (0.1 µm and 200 parts: 9.95). House curve over 0.7 of life: within 0.006."""
    assert mean_growth_met(0.1 * parts, float(parts), 0.0, 1.0, 1.0) == pytest.approx(0.1 * (parts - 1) / 2.0)
    met = [wear_growth(0.7 * part / parts, *CURVE) for part in range(parts)]
    if parts >= 20:
        assert mean_growth_met(0.7, float(parts), *CURVE) == pytest.approx(sum(met) / parts, abs=0.006)
