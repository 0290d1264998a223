"""Form and surface: relations that hold whatever the numbers."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from linesim.cutting.form import (
    bar_stiffness_n_um,
    copying_factor,
    line_bar_stiffness_n_um,
    series_stiffness_n_um,
)
from linesim.cutting.surface import (
    scratch_left_um,
    theoretical_ra_um,
    theoretical_rt_um,
    worn_ra_um,
)

stiffness = st.floats(0.1, 500.0)


@given(k_c=st.floats(0.0, 50.0), k_m=stiffness, depth=st.floats(0.0, 5.0))
def test_copying_balances_cutting_force_and_deflection(k_c: float, k_m: float, depth: float) -> None:
    """The force at the depth really cut bends the machine by the depth not cut."""
    left_um = 1000.0 * depth * copying_factor(k_c, k_m)
    assert k_c * (1000.0 * depth - left_um) / k_m == pytest.approx(left_um, abs=1e-9)


@given(k_c=st.floats(0.01, 50.0), k_m=stiffness)
def test_copying_lies_between_nothing_and_all_and_falls_with_stiffness(k_c: float, k_m: float) -> None:
    """Stiffer machine, less copied; a rigid one copies nothing."""
    assert 0.0 < copying_factor(k_c, k_m) < 1.0
    assert copying_factor(k_c, 2.0 * k_m) < copying_factor(k_c, k_m)
    assert copying_factor(k_c, math.inf) == 0.0


@given(a=stiffness, b=stiffness)
def test_springs_in_series_are_softer_than_either_and_add_their_give(a: float, b: float) -> None:
    """Order does not matter; a rigid member leaves the other."""
    both = series_stiffness_n_um(a, b)
    assert both < min(a, b)
    assert 1.0 / both == pytest.approx(1.0 / a + 1.0 / b)
    assert series_stiffness_n_um(a, math.inf) == pytest.approx(a)
    assert series_stiffness_n_um(math.inf, math.inf) == math.inf


def test_line_bars_by_beam_theory() -> None:
    """48 and 192 E I / L**3 for ends that tilt and ends that are fixed (beam theory, from memory)."""
    moment = math.pi * 60.0**4 / 64.0
    assert line_bar_stiffness_n_um(60.0, 900.0, 206e3, False) == pytest.approx(48.0 * 206.0 * moment / 900.0**3)
    assert line_bar_stiffness_n_um(60.0, 900.0, 206e3, True) == pytest.approx(192.0 * 206.0 * moment / 900.0**3)
    assert bar_stiffness_n_um(60.0, 900.0, 206e3) == pytest.approx(3.0 * 206.0 * moment / 900.0**3)


@given(feed=st.floats(0.02, 0.6), radius=st.floats(0.4, 3.0))
def test_ideal_roughness_lies_below_a_quarter(feed: float, radius: float) -> None:
    """Ra / Rt of a parabola is 8 / (18 sqrt 3) = 0.2566."""
    assert theoretical_ra_um(feed, radius) / theoretical_rt_um(feed, radius) == pytest.approx(0.25660, rel=1e-4)


def test_roughness_grows_with_wear_above_the_floor() -> None:
    """Power 2: a quarter of the rise at half the wear; a smooth edge is held up by the floor."""
    assert worn_ra_um(1.0, 0.8, 0.5, 2.0, 0.5, 0.4) == pytest.approx(1.2)
    assert worn_ra_um(0.1, 0.8, 1.0, 1.0, 0.5, 0.4) == 0.4


@given(scratch=st.floats(0.0, 500.0), depth=st.floats(0.0, 0.6))
def test_a_cut_deeper_than_a_scratch_takes_it_out(scratch: float, depth: float) -> None:
    """Never below nothing, never deeper than before."""
    left = scratch_left_um(scratch, depth)
    assert 0.0 <= left <= scratch
    assert (left == 0.0) == (1000.0 * depth >= scratch)
