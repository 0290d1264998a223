"""A single-point diamond on a grinding wheel: a worked example of the trade, and powers of roughness after Malkin."""

from __future__ import annotations

import math

import pytest

from linesim.cutting.dressing import dressed_ra_factor, dressed_width_mm, dressing_lead_mm
from linesim.cutting.kinematics import feed_rate_mm_min, spindle_speed_rpm

INCH_MM = 25.4


def test_width_and_traverse_of_a_printed_example() -> None:
    """Tip 0.015 in, 0.001 in a stroke, wheel of 16 in at 30 m/s: 0.27357 mm, 1410 turns, 192.9 and 96.4 mm/min.

    Read at moderngrindingtechnology.com, which prints 0.273, 1410, 192.5 and 96.25 for overlaps of 2 and 4. With 406 mm
    for the 16 in it is 1411 turns and 193.0 mm/min; with its rounded 0.38 and 0.025 mm the width is 0.2711.
    """
    width_mm = dressed_width_mm(0.015 * INCH_MM, 0.001 * INCH_MM)
    assert width_mm == pytest.approx(0.27357, abs=5e-6)
    assert width_mm == pytest.approx(0.273, rel=3e-3)
    assert dressed_width_mm(0.38, 0.025) == pytest.approx(0.2711, abs=5e-5)

    rpm = spindle_speed_rpm(30.0 * 60.0, 16.0 * INCH_MM)
    assert rpm == pytest.approx(1410.0, abs=0.5)
    assert spindle_speed_rpm(30.0 * 60.0, 406.0) == pytest.approx(1411.0, abs=0.5)
    for overlap, rate, printed in ((2.0, 192.9, 192.5), (4.0, 96.4, 96.25)):
        rate_mm_min = feed_rate_mm_min(dressing_lead_mm(width_mm, overlap), rpm)
        assert rate_mm_min == pytest.approx(rate, abs=0.06)
        assert rate_mm_min == pytest.approx(printed, rel=3e-3)


def test_the_width_is_the_chord_of_the_tip() -> None:
    """Half the chord, the radius and the radius less the depth are the sides of a right triangle (derived)."""
    radius_mm, depth_mm = 0.4, 0.03
    half_mm = dressed_width_mm(radius_mm, depth_mm) / 2.0
    assert math.hypot(half_mm, radius_mm - depth_mm) == pytest.approx(radius_mm, rel=1e-12)


@pytest.mark.parametrize(("lead", "depth", "factor"), [(2.0, 1.0, 1.4142), (1.0, 2.0, 1.1892), (0.5, 1.0, 0.70711)])
def test_roughness_goes_with_the_root_of_the_lead_and_the_fourth_root_of_the_depth(
    lead: float, depth: float, factor: float
) -> None:
    """Malkin, *Grinding Technology* (from memory); half the lead is its inverse."""
    assert dressed_ra_factor(lead, depth) == pytest.approx(factor, abs=5e-5)
