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
    run_out_cost_rate,
)
from linesim.cutting.regrinding import regrind_takes_mm, regrinds_from_stock


def test_whole_numbers_survive_floating_point() -> None:
    """3 / (0.9 + 0.1) regrinds, and 0.3 / 0.1."""
    assert regrinds_from_stock(3.0, regrind_takes_mm(0.9, 1.0, 0.1)) == 3.0
    assert regrinds_from_stock(0.3, 0.1) == 3.0
    assert regrinds_from_stock(2.999, 1.0) == 2.0


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
