"""Life and wear: relations that hold whatever the numbers."""

from __future__ import annotations

import math
from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from linesim.cutting.life import extended_taylor_life_min, wear_growth, wear_land_mm

exponent = st.floats(0.08, 0.7)
curves = st.tuples(st.floats(0.0, 0.9), st.floats(0.01, 1.0), st.floats(1.0, 3.0))


@given(n=exponent, p=st.floats(0.0, 4.0), q=st.floats(0.0, 2.0), factor=st.floats(0.3, 3.0))
def test_each_condition_acts_by_its_own_power(n: float, p: float, q: float, factor: float) -> None:
    """Logarithm of life against logarithm of speed, feed and depth, one at a time."""
    reference = (30.0, 100.0, 0.2, 1.5, n, p, q)
    log = math.log(factor)
    at_speed = extended_taylor_life_min(100.0 * factor, 0.2, 1.5, *reference, 1.0)
    at_feed = extended_taylor_life_min(100.0, 0.2 * factor, 1.5, *reference, 1.0)
    at_depth = extended_taylor_life_min(100.0, 0.2, 1.5 * factor, *reference, 1.0)
    assert math.log(at_speed / 30.0) == pytest.approx(-log / n, abs=1e-9)
    assert math.log(at_feed / 30.0) == pytest.approx(-p * log, abs=1e-9)
    assert math.log(at_depth / 30.0) == pytest.approx(-q * log, abs=1e-9)


def test_the_reference_cut_has_the_reference_life_times_the_skin_factor() -> None:
    """In the casting's skin the edge lasts a share."""
    assert extended_taylor_life_min(100.0, 0.2, 1.5, 30.0, 100.0, 0.2, 1.5, 0.25, 1.0, 0.5, 1.0) == 30.0
    assert extended_taylor_life_min(100.0, 0.2, 1.5, 30.0, 100.0, 0.2, 1.5, 0.25, 1.0, 0.5, 0.6) == 18.0


@given(curve=curves)
def test_wear_starts_at_nothing_and_reaches_the_limit_at_the_end_of_life(
    curve: tuple[float, float, float],
) -> None:
    """g(0) = 0, g(1) = 1, for any curve."""
    assert wear_growth(0.0, *curve) == 0.0
    assert wear_growth(1.0, *curve) == pytest.approx(1.0)


@given(curve=curves)
def test_wear_never_shrinks_and_goes_on_past_the_end_of_life(curve: tuple[float, float, float]) -> None:
    """Rising from w = 0 to 2."""
    values = [wear_growth(0.02 * k, *curve) for k in range(101)]
    assert all(a <= b for a, b in pairwise(values))
    assert values[-1] > 1.0


def test_wear_has_break_in_steady_and_accelerating_zones() -> None:
    """Rate high at first, lowest in between, rising at the end (ISO 3685:1993, annex C)."""
    rate = [wear_growth(0.01 * (k + 1), 0.32, 0.057, 1.4) - wear_growth(0.01 * k, 0.32, 0.057, 1.4) for k in range(120)]
    lowest = rate.index(min(rate))
    assert rate[0] > 3.0 * min(rate)
    assert 15 < lowest < 40
    assert rate[110] > rate[80] > rate[lowest]


def test_the_land_is_the_limit_times_the_growth() -> None:
    """In mm."""
    assert wear_land_mm(0.4, 0.3, 0.32, 0.057, 1.4) == 0.3 * wear_growth(0.4, 0.32, 0.057, 1.4)
