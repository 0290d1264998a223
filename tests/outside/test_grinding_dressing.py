"""Dressing and wheel speed against moderngrindingtechnology.com (read) and Malkin and Guo, *Grinding Technology*."""

from __future__ import annotations

import pytest

from linesim.cutting.grinding import (
    dressed_ra_factor,
    dressing_overlap,
    dressing_traverse_mm_min,
    dressing_width_mm,
    wheel_speed_limit_rpm,
    wheel_worn_mm3,
)


def test_dressing_example() -> None:
    """Radius 0.015 in, depth 0.001 in, wheel 16 in (406 mm) at 30 m/s.

    Prints width 0.273 mm, 1410 rpm, traverse 192.5 and 96.25 mm/min for an overlap of 2 and 4 (read).
    """
    width = dressing_width_mm(0.381, 0.0254)
    assert width == pytest.approx(0.27357, abs=5e-6)
    assert wheel_speed_limit_rpm(30.0, 406.0) == pytest.approx(1411.0, abs=0.5)
    rpm = wheel_speed_limit_rpm(30.0, 406.4)
    assert dressing_traverse_mm_min(width, 2.0, rpm) == pytest.approx(192.9, abs=0.1)
    assert dressing_traverse_mm_min(width, 4.0, rpm) == pytest.approx(96.4, abs=0.05)
    assert dressing_traverse_mm_min(width, 2.0, rpm) == pytest.approx(192.5, rel=3e-3)
    assert dressing_overlap(width, dressing_traverse_mm_min(width, 2.0, rpm) / rpm) == pytest.approx(2.0)


def test_rounded_metric_inputs_give_a_narrower_width() -> None:
    """0.38 and 0.025 mm give 0.2711, not the printed 0.273 (disagreement by rounding in the source)."""
    assert dressing_width_mm(0.38, 0.025) == pytest.approx(0.2711, abs=5e-5)


def test_wheel_wear_by_g_ratio() -> None:
    """1000 mm3 at a ratio of 40: 25 mm3 of wheel (derived); conventional wheels 20-80 (read: Tooling U-SME)."""
    assert wheel_worn_mm3(1000.0, 40.0) == 25.0


def test_marked_speed_of_a_small_wheel() -> None:
    """150 mm at 35 m/s: 4456 rpm (derived)."""
    assert wheel_speed_limit_rpm(35.0, 150.0) == pytest.approx(4456.0, abs=0.5)


def test_dressing_sets_the_roughness() -> None:
    """Malkin (from memory): twice the lead x 1.4142, twice the depth x 1.1892."""
    assert dressed_ra_factor(2.0, 1.0) == pytest.approx(1.4142, abs=5e-5)
    assert dressed_ra_factor(1.0, 2.0) == pytest.approx(1.1892, abs=5e-5)
