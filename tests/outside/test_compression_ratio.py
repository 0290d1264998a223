"""Volumes and compression ratio against engine builders' worked examples.

Each test says whether the source was read or the numbers were made up to test the arithmetic.
"""

from __future__ import annotations

import math

import pytest

from linesim.quality.engine import (
    clearance_volume_cm3,
    compression_ratio,
    compression_ratio_slope,
    cylinder_volume_cm3,
    largest_step_um,
    off_line_um,
    piston_clearance_mm,
    spherical_cap_cm3,
)


def test_one_cubic_centimetre_more_or_less() -> None:
    """Bore 88, stroke 94, ratio 10 (arithmetic)."""
    swept = cylinder_volume_cm3(88.0, 94.0)
    assert swept == pytest.approx(571.72, abs=5e-3)
    clearance = swept / 9.0
    assert clearance == pytest.approx(63.524, abs=5e-4)
    assert compression_ratio(swept, clearance) == pytest.approx(10.0)
    assert compression_ratio(swept, clearance + 1.0) == pytest.approx(9.8605, abs=5e-5)
    assert compression_ratio(swept, clearance - 1.0) == pytest.approx(10.1439, abs=5e-5)
    assert compression_ratio_slope(swept, clearance) == pytest.approx(-0.14168, abs=5e-6)


def test_a_tenth_of_a_millimetre_skimmed_off_a_face() -> None:
    """Over the full bore area: 0.6082 cm³ less, ratio 10 becomes 10.0870 (arithmetic)."""
    swept = cylinder_volume_cm3(88.0, 94.0)
    skimmed = cylinder_volume_cm3(88.0, -0.1)
    assert skimmed == pytest.approx(-0.6082, abs=5e-5)
    clearance = clearance_volume_cm3(swept / 9.0, deck_gap=skimmed)
    assert compression_ratio(swept, clearance) == pytest.approx(10.0870, abs=5e-5)


def test_table_of_young_for_an_antique_engine() -> None:
    """L. Young's table (read): 44.2 in³; head 17.9, dome 2.86, gasket 0.92: 3.77; head milled to 15.6: 4.24."""
    assert clearance_volume_cm3(17.9, gasket=0.92, dome=2.86) == pytest.approx(15.96)
    assert compression_ratio(44.2, clearance_volume_cm3(17.9, gasket=0.92, dome=2.86)) == pytest.approx(3.769, abs=5e-4)
    assert compression_ratio(44.2, clearance_volume_cm3(15.6, gasket=0.92, dome=2.86)) == pytest.approx(4.236, abs=5e-4)


def test_a_spacer_under_the_cylinder() -> None:
    """Doghouse Repair's example (read): 443.75 over 50.00 + 9.80: 8.42; with a spacer of 9.80: 7.375."""
    assert compression_ratio(443.75, clearance_volume_cm3(50.0, gasket=9.80)) == pytest.approx(8.4206, abs=5e-5)
    with_spacer = clearance_volume_cm3(50.0, gasket=9.80, deck_gap=9.80)
    assert compression_ratio(443.75, with_spacer) == pytest.approx(7.3757, abs=5e-5)


def test_swept_volume_of_a_motor_cycle() -> None:
    """Bore 77, stroke 80.4 mm: prints 374.394 cm³ (read, oldbritts.com)."""
    assert cylinder_volume_cm3(77.0, 80.4) == pytest.approx(374.394, abs=5e-3)


def test_a_spherical_chamber_that_is_a_cap_of_its_mouth() -> None:
    """π h (3 a² + h²) / 6 with the mouth's radius a, another form of the same (elementary geometry)."""
    radius, depth = 50.0, 18.0
    mouth = math.sqrt(radius**2 - (radius - depth) ** 2)
    other_form = math.pi * depth * (3.0 * mouth**2 + depth**2) / 6.0 / 1000.0
    assert spherical_cap_cm3(radius, depth) == pytest.approx(other_form, rel=1e-12)


def test_piston_clearance() -> None:
    """Bore 87.992 to 88.008 with a clearance of 0.010 to 0.041 (GM 2.4 manual, read): a piston of 87.967 to 87.982."""
    assert piston_clearance_mm(87.992, 87.982) == pytest.approx(0.010)
    assert piston_clearance_mm(88.008, 87.967) == pytest.approx(0.041)


def test_a_row_of_bores() -> None:
    """Distance from the line through the outer bores, and step between neighbours (elementary geometry)."""
    assert off_line_um([10.0, 20.0, 30.0, 40.0]) == 0.0
    assert off_line_um([0.0, 12.0, 0.0, -6.0, 8.0]) == pytest.approx(12.0)
    assert off_line_um([3.0, 4.0]) == 0.0
    assert largest_step_um([0.0, 12.0, 0.0, -6.0, 8.0]) == 14.0
    assert largest_step_um([5.0]) == 0.0
