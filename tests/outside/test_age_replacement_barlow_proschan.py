"""Age replacement against R. E. Barlow and F. Proschan, *Mathematical Theory of Reliability*, 1965, chapter 4.

The figures are arithmetic from the formulas there (derived), for Weibull lives.
"""

from __future__ import annotations

import math

import pytest
from scipy.integrate import quad

from linesim.cutting.economics import (
    best_age,
    best_part_count,
    cost_rate_at_age,
    cost_rate_at_count,
    run_out_cost_rate,
)

CASES = [
    (2.5, 1000.0, 1.0, 5.0, 493.05, 0.0034620, 0.0056353),
    (3.0, 60.0, 20.0, 100.0, 30.157, 1.01047, 1.86641),
    (3.7, 60.0, 15.0, 60.0, 34.210, 0.60878, 1.10809),
    (3.5, 45.0, 10.0, 60.0, 21.924, 0.64428, 1.48190),
]


@pytest.mark.parametrize(("shape", "scale", "planned", "failure", "age", "rate", "run_out"), CASES)
def test_best_age_and_its_cost(
    shape: float, scale: float, planned: float, failure: float, age: float, rate: float, run_out: float
) -> None:
    """Best age, cost rate there, and cost rate of running until failure (derived)."""
    found = best_age(shape, scale, planned, failure)
    assert found == pytest.approx(age, rel=3e-5)
    assert cost_rate_at_age(found, shape, scale, planned, failure) == pytest.approx(rate, rel=2e-5)
    assert run_out_cost_rate(shape, scale, failure) == pytest.approx(run_out, rel=2e-5)


@pytest.mark.parametrize(("shape", "scale", "planned", "failure", "age", "rate", "run_out"), CASES)
def test_at_the_optimum_the_cost_rate_is_the_hazard_times_the_difference(
    shape: float, scale: float, planned: float, failure: float, age: float, rate: float, run_out: float
) -> None:
    """C* = (cf - cp) h(T*)."""
    found = best_age(shape, scale, planned, failure)
    hazard = shape / scale * (found / scale) ** (shape - 1.0)
    assert (failure - planned) * hazard == pytest.approx(rate, rel=2e-5)
    assert rate < run_out
    assert found < age * 1.0001


def test_the_cost_rate_is_renewal_reward() -> None:
    """Numeric integral of the survival function in place of the closed form."""
    mean_use, _ = quad(lambda t: math.exp(-((t / 60.0) ** 3.0)), 0.0, 40.0)
    survive = math.exp(-((40.0 / 60.0) ** 3.0))
    expected = (20.0 * survive + 100.0 * (1.0 - survive)) / mean_use
    assert cost_rate_at_age(40.0, 3.0, 60.0, 20.0, 100.0) == pytest.approx(expected, rel=1e-9)


def test_never_early_when_failure_costs_no_more() -> None:
    """cp = cf."""
    assert best_age(3.0, 60.0, 20.0, 20.0) == math.inf


def test_never_early_when_lives_do_not_age() -> None:
    """Shape 1, the exponential distribution."""
    assert best_age(1.0, 60.0, 20.0, 100.0) == math.inf


def test_a_very_late_change_costs_as_much_as_none() -> None:
    """C(T) tends to cf over the mean life."""
    assert cost_rate_at_age(1e4, 3.0, 60.0, 20.0, 100.0) == pytest.approx(run_out_cost_rate(3.0, 60.0, 100.0))


def test_counts_of_parts() -> None:
    """Sums in place of the integral: close to the age answer where lives are many parts (derived)."""
    count = best_part_count(2.5, 1000.0, 1.0, 5.0)
    assert count == pytest.approx(493.05, abs=1.0)
    assert cost_rate_at_count(493, 2.5, 1000.0, 1.0, 5.0) == pytest.approx(0.0034620, rel=2e-3)
