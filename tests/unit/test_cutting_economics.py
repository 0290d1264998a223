"""Money of a cut and when to change: relations that hold whatever the numbers."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from linesim.cutting.economics import (
    best_age,
    best_part_count,
    cost_rate_at_age,
    cost_rate_at_count,
    edge_cost_by_grinds,
    edge_cost_over_edges,
    max_production_life_min,
    min_cost_life_min,
    part_cost,
    part_minutes,
    run_out_cost_rate,
    turning_minutes,
    whole_parts_per_edge,
)
from linesim.cutting.life import taylor_life_min, taylor_speed_m_min
from linesim.cutting.regrinding import regrind_takes_mm, regrinds_from_stock


@given(n=st.floats(0.1, 0.6), change=st.floats(0.5, 10.0), edge=st.floats(0.0, 20.0))
@settings(max_examples=30)
def test_no_speed_beats_the_cheapest_and_none_is_quicker_than_the_quickest(
    n: float, change: float, edge: float
) -> None:
    """Cost and minutes at speeds around each optimum, parts per edge unrounded."""

    def at(speed: float) -> tuple[float, float]:
        cutting = turning_minutes(100.0, 500.0, speed, 0.25)
        parts = taylor_life_min(speed, 300.0, n) / cutting
        return part_cost(0.8, 3.0, cutting, change, edge, parts), part_minutes(3.0, cutting, change, parts)

    cheapest = taylor_speed_m_min(min_cost_life_min(n, change, 0.8, edge), 300.0, n)
    quickest = taylor_speed_m_min(max_production_life_min(n, change), 300.0, n)
    for factor in (0.9, 0.99, 1.01, 1.1):
        assert at(cheapest)[0] < at(cheapest * factor)[0]
        assert at(quickest)[1] < at(quickest * factor)[1]
    assert cheapest <= quickest


def test_rounded_down_parts_are_never_cheaper() -> None:
    """Groover's whole parts against the unrounded figure."""
    for life in (20.0, 33.0, 56.0):
        whole = part_cost(0.5, 5.0, 14.0, 2.0, 3.0, whole_parts_per_edge(life, 14.0))
        assert whole >= part_cost(0.5, 5.0, 14.0, 2.0, 3.0, life / 14.0)


def test_whole_numbers_survive_floating_point() -> None:
    """3 / (0.9 + 0.1) regrinds, 0.3 / 0.1 parts."""
    assert regrinds_from_stock(3.0, regrind_takes_mm(0.9, 1.0, 0.1)) == 3.0
    assert regrinds_from_stock(0.3, 0.1) == 3.0
    assert whole_parts_per_edge(0.3, 0.1) == 3.0
    assert regrinds_from_stock(2.999, 1.0) == 2.0


@given(price=st.floats(1.0, 500.0), grinds=st.integers(1, 30), cost=st.floats(0.1, 50.0))
def test_counting_the_first_edge_makes_edges_cheaper(price: float, grinds: int, cost: float) -> None:
    """The two ways of sharing a cutter's price."""
    assert edge_cost_over_edges(price, float(grinds), cost) < edge_cost_by_grinds(price, float(grinds), cost)


@given(shape=st.floats(1.5, 6.0), ratio=st.floats(1.5, 20.0))
@settings(max_examples=40)
def test_no_age_beats_the_best_age(shape: float, ratio: float) -> None:
    """Cost rate a little earlier and a little later."""
    age = best_age(shape, 60.0, 10.0, 10.0 * ratio)
    best = cost_rate_at_age(age, shape, 60.0, 10.0, 10.0 * ratio)
    assert best <= cost_rate_at_age(age * 0.98, shape, 60.0, 10.0, 10.0 * ratio)
    assert best <= cost_rate_at_age(age * 1.02, shape, 60.0, 10.0, 10.0 * ratio)
    assert best <= run_out_cost_rate(shape, 60.0, 10.0 * ratio) * (1.0 + 1e-12)


def test_best_count_is_the_least_of_all_counts() -> None:
    """Exhaustive search over counts, and close to the age answer for long lives."""
    rates = [cost_rate_at_count(count, 2.5, 50.0, 1.0, 5.0) for count in range(1, 200)]
    assert best_part_count(2.5, 50.0, 1.0, 5.0) == 1 + int(np.argmin(rates))
    assert best_part_count(2.5, 1000.0, 1.0, 5.0) == pytest.approx(best_age(2.5, 1000.0, 1.0, 5.0), abs=1.5)


def test_no_early_change_where_it_cannot_pay() -> None:
    """Failure no dearer than a planned change, lives without ageing, a limit too low."""
    assert best_age(3.0, 60.0, 10.0, 10.0) == math.inf
    assert best_age(1.0, 60.0, 1.0, 50.0) == math.inf
    assert best_part_count(3.0, 60.0, 10.0, 10.0) is None
    assert best_part_count(3.0, 1000.0, 1.0, 1.5, most=10) is None


def test_an_almost_exponential_life_is_never_worth_changing() -> None:
    """The hazard hardly rises, so the root lies beyond any age."""
    assert best_age(1.0001, 60.0, 1.0, 1.0001) == math.inf
