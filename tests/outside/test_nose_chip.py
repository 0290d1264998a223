"""Chips at a rounded nose: geometry (Colwell, Woxen; derived), and directions of force against open turning tests.

Open tests: Canal and Borille, doi 10.34740/kaggle/ds/2205074 (means only): H13 of 200 HB, nose 0.4 mm, 93°.
"""

from __future__ import annotations

import math

import pytest

from linesim.cutting.force import specific_force_n_mm2
from linesim.cutting.nose import (
    edge_along_feed_mm,
    edge_in_cut_mm,
    effective_approach_rad,
    force_towards_work_n,
    least_chip_mm,
    least_depth_mm,
    mean_chip_mm,
    worn_edge_adds_n,
)

RIGHT = math.pi / 2.0


@pytest.mark.parametrize(
    ("depth", "feed", "nose", "edge", "chip", "angle"),
    [
        (2.4, 0.25, 1.2, 3.2100, 0.18692, 61.098),
        (0.3, 0.22, 0.8, 0.82653, 0.079852, 22.217),
        (0.12, 0.22, 0.8, 0.55385, 0.047666, 12.724),
    ],
)
def test_edge_and_chip(depth: float, feed: float, nose: float, edge: float, chip: float, angle: float) -> None:
    length = edge_in_cut_mm(depth, feed, nose, RIGHT)
    along = edge_along_feed_mm(depth, feed, nose, RIGHT)
    assert length == pytest.approx(edge, abs=6e-5)
    assert mean_chip_mm(depth, feed, length) == pytest.approx(chip, abs=6e-6)
    assert math.degrees(effective_approach_rad(depth, along)) == pytest.approx(angle, abs=6e-4)


@pytest.mark.parametrize(
    ("depth", "chip", "angle"), [(3.0, 0.10207, 59.182), (0.3, 0.041833, 19.257), (0.01, 0.0059084, 2.6073)]
)
def test_a_tooth_of_a_mill(depth: float, chip: float, angle: float) -> None:
    kappa = math.radians(75.0)
    length, along = edge_in_cut_mm(depth, 0.13, 1.2, kappa), edge_along_feed_mm(depth, 0.13, 1.2, kappa)
    assert mean_chip_mm(depth, 0.13, length) == pytest.approx(chip, abs=6e-6)
    assert math.degrees(effective_approach_rad(depth, along)) == pytest.approx(angle, abs=6e-4)


def forces(depth: float, feed: float, nose: float, kappa: float) -> tuple[float, float]:
    """Cutting and radial force in GJL of 1160 / 0.26 by the house's specific force, thrust ratio 0.6."""
    length = edge_in_cut_mm(depth, feed, nose, kappa)
    chip = mean_chip_mm(depth, feed, length)
    cutting = specific_force_n_mm2(1160.0, 0.26, chip) * length * chip
    angle = effective_approach_rad(depth, edge_along_feed_mm(depth, feed, nose, kappa))
    return cutting, force_towards_work_n(cutting, 0.6, angle)


@pytest.mark.parametrize(
    ("depth", "feed", "nose", "cutting", "radial", "slope"),
    [
        (2.4, 0.25, 1.2, 1076.4, 312.15, 0.021849),
        (1.0, 0.25, 0.8, 468.49, 190.88, 0.069762),
        (0.3, 0.22, 0.8, 147.71, 82.046, 0.20913),
        (0.12, 0.22, 0.8, 68.019, 39.809, 0.24339),
    ],
)
def test_forces_of_four_boring_cuts(
    depth: float, feed: float, nose: float, cutting: float, radial: float, slope: float
) -> None:
    """The finish cut pushes with 40 N; the heavy one hardly more for a little more depth."""
    assert forces(depth, feed, nose, RIGHT) == pytest.approx((cutting, radial), rel=2e-4)
    step = 1e-4
    rise = (forces(depth + step, feed, nose, RIGHT)[1] - forces(depth - step, feed, nose, RIGHT)[1]) / (2000.0 * step)
    assert rise == pytest.approx(slope, rel=0.01)


@pytest.mark.parametrize(("degrees", "radial"), [(75.0, 373.17), (60.0, 445.39), (45.0, 534.30)])
def test_a_flatter_approach_pushes_harder(degrees: float, radial: float) -> None:
    assert forces(2.4, 0.25, 1.2, math.radians(degrees))[1] == pytest.approx(radial, rel=2e-4)


MEASURED = [
    (0.25, 0.07, 43.31, 21.14), (0.25, 0.10, 51.29, 23.35), (0.25, 0.13, 59.06, 25.46),
    (0.50, 0.07, 57.49, 63.63), (0.50, 0.10, 69.76, 68.95), (0.50, 0.13, 83.80, 76.61),
    (0.80, 0.07, 61.55, 121.3), (0.80, 0.10, 77.52, 212.9), (0.80, 0.13, 98.66, 218.2),
]  # fmt: skip


def test_radial_over_feed_force_against_open_turning_tests() -> None:
    """Mean log of measured over foretold ratio 0.0575, rms 0.2234 over nine cells: right in direction and size."""
    logs = []
    for depth, feed, radial, along in MEASURED:
        angle = effective_approach_rad(depth, edge_along_feed_mm(depth, feed, 0.4, math.radians(93.0)))
        logs.append(math.log(radial / along * math.tan(angle)))
    assert sum(logs) / len(logs) == pytest.approx(0.057489, abs=5e-4)
    assert math.sqrt(sum(each * each for each in logs) / len(logs)) == pytest.approx(0.22337, abs=5e-4)


def test_wear_adds_a_force_that_hardly_depends_on_depth() -> None:
    """Finish blade, 500 N/mm²: 39.8 N sharp, 66.38 at 0.1 mm, 119.52 N at 0.3 mm of land."""
    along = edge_along_feed_mm(0.12, 0.22, 0.8, RIGHT)
    assert 39.809 + worn_edge_adds_n(500.0, 0.1, along) == pytest.approx(66.381, abs=2e-3)
    assert 39.809 + worn_edge_adds_n(500.0, 0.3, along) == pytest.approx(119.52, abs=5e-3)


def test_worn_over_new_grows_as_the_cut_gets_lighter() -> None:
    """Measured 3.5 at 0.25 mm and 3.2 at 0.5 mm with a land of 0.3 mm (radial, 1060 to 1170 N/mm²)."""
    light = edge_along_feed_mm(0.25, 0.10, 0.4, RIGHT)
    deep = edge_along_feed_mm(0.50, 0.10, 0.4, RIGHT)
    ratio = [1.0 + worn_edge_adds_n(p, 0.3, x) / new for p, x, new in ((1063.4, light, 51.29), (1171.8, deep, 69.76))]
    assert ratio[0] > ratio[1] > 3.0
    assert ratio == pytest.approx([3.5171, 3.2241], rel=0.05)


@pytest.mark.parametrize(
    ("radius", "land", "depth_um"), [(30.0, 0.0, 9.5662), (50.0, 0.0, 19.599), (30.0, 0.3, 25.605)]
)
def test_least_depth(radius: float, land: float, depth_um: float) -> None:
    """0.3 of the edge's radius (from memory): below that depth the edge rubs."""
    least = least_chip_mm(radius, land)
    assert 1000.0 * least_depth_mm(least, 0.22, 0.8, RIGHT) == pytest.approx(depth_um, abs=6e-4)


def test_a_lick_of_a_hundredth_rubs() -> None:
    """Nose 0.8, feed 0.12, depth 0.01: a chip of 6.43 µm, under the least of a honed edge of 30 µm."""
    chip = mean_chip_mm(0.01, 0.12, edge_in_cut_mm(0.01, 0.12, 0.8, RIGHT))
    assert 1000.0 * chip == pytest.approx(6.430, abs=6e-4)
    assert chip < least_chip_mm(30.0, 0.0)
