"""Motion of cut and spindle: relations that hold whatever the numbers."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from linesim.cutting.kinematics import (
    cutting_minutes,
    feed_rate_mm_min,
    full_face_approach_mm,
    milling_engagement_rad,
    milling_feed_rate_mm_min,
    spindle_speed_rpm,
    stock_removal_minutes,
    teeth_in_cut,
)

positive = st.floats(0.01, 1000.0)


@given(speed=positive, diameter=positive)
def test_the_rim_moves_at_the_cutting_speed(speed: float, diameter: float) -> None:
    """Circumference times turns is the speed."""
    rpm = spindle_speed_rpm(speed, diameter)
    assert math.pi * diameter * rpm / 1000.0 == pytest.approx(speed)


@given(length=positive, before=positive, after=positive, rate=positive)
def test_minutes_times_rate_is_the_travel(length: float, before: float, after: float, rate: float) -> None:
    """Approach and overrun count like length."""
    assert cutting_minutes(length, before, after, rate) * rate == pytest.approx(length + before + after)


def test_a_cutter_of_many_teeth_fed_by_the_tooth_moves_as_one_fed_by_the_turn() -> None:
    """Eight teeth at 0.125 are one turn at 1."""
    assert milling_feed_rate_mm_min(0.125, 8.0, 300.0) == feed_rate_mm_min(1.0, 300.0) == 300.0


def test_engagement_and_approach_of_a_face_as_wide_as_the_cutter() -> None:
    """Half a turn in the cut, half the teeth, half the diameter to come in."""
    assert milling_engagement_rad(100.0, 100.0) == pytest.approx(math.pi)
    assert teeth_in_cut(8.0, milling_engagement_rad(100.0, 100.0)) == pytest.approx(4.0)
    assert full_face_approach_mm(100.0) == 50.0


def test_spark_out_adds_to_the_minutes_of_stock() -> None:
    """30 um at 60 um/min and 0.2 min of spark-out."""
    assert stock_removal_minutes(30.0, 60.0, 0.2) == pytest.approx(0.7)
    assert stock_removal_minutes(0.0, 60.0, 0.2) == pytest.approx(0.2)
