"""Roughness of face mills with their teeth as they stand: geometry, simulated envelopes, and what shops report.

The laws are derived and were fitted to simulated envelopes of 300 cutters each (means quoted below). One tooth makes
the dominant mark: Tungaloy 2020-21 p. L061, Sandvik Coromant on milled surfaces (read). What shops report in iron:
rough 3.2 to 12.5 (commonly 3 to 6), finish with carbide 0.8 to 2.5, with a wiper 0.6 to 1.6 µm (from memory; 1.5 to 2.5
normal for rebuilders, enginebuildermag 2005 and 2006, read).
"""

from __future__ import annotations

import math

import pytest

from linesim.cutting.surface import theoretical_ra_um
from linesim.cutting.teeth import (
    depth_factor,
    iron_ra_um,
    is_land_wide_enough,
    mean_range,
    milled_ra_land_um,
    milled_ra_round_um,
    round_teeth_run_out_ra_um,
    spread_of_teeth_um,
    thin_chip_rt_um,
    torn_share_left,
)


@pytest.mark.parametrize(("teeth", "d2"), [(4, 2.059), (6, 2.534), (8, 2.847), (10, 3.078), (12, 3.258), (16, 3.532)])
def test_range_of_normals(teeth: int, d2: float) -> None:
    """d2 of control charts, any table of them."""
    assert mean_range(float(teeth)) == d2


def test_range_between_the_tabled_numbers_and_beyond() -> None:
    assert mean_range(7.0) == pytest.approx((2.534 + 2.847) / 2.0)
    assert mean_range(40.0) == 3.931
    assert spread_of_teeth_um(50.0, 1.0) == 0.0


def test_one_tooth_of_twelve_alone() -> None:
    """Geometry: all teeth 0.45172 µm; one alone with the feed of the revolution 65.048 µm, the cap of the law."""
    assert theoretical_ra_um(0.13, 1.2) == pytest.approx(0.45172, abs=5e-6)
    assert theoretical_ra_um(1.56, 1.2) == pytest.approx(65.048, abs=5e-4)
    assert milled_ra_round_um(0.13, 1.2, 12.0, 1.0e4) == pytest.approx(65.048, abs=5e-4)


@pytest.mark.parametrize(
    ("run_out", "teeth", "spread"),
    [(50.0, 12.0, 15.347), (30.0, 12.0, 9.2081), (10.0, 8.0, 3.5125), (5.0, 8.0, 1.7562)],
)
def test_spread_from_run_out(run_out: float, teeth: float, spread: float) -> None:
    assert spread_of_teeth_um(run_out, teeth) == pytest.approx(spread, abs=5e-4)


@pytest.mark.parametrize(
    ("feed", "nose", "teeth", "run_out", "ra"),
    [
        (0.13, 1.2, 12.0, 50.0, 8.1151),
        (0.13, 1.2, 12.0, 30.0, 5.2534),
        (0.13, 1.2, 12.0, 20.0, 3.6741),
        (0.12, 0.8, 8.0, 10.0, 2.2871),
        (0.12, 0.8, 8.0, 5.0, 1.2783),
        (0.12, 0.8, 8.0, 0.0, 0.57735),
    ],
)
def test_round_noses(feed: float, nose: float, teeth: float, run_out: float, ra: float) -> None:
    """Law over simulated mean: 1.024, 0.985, 0.982, 0.979 and 0.965 for five of such cutters (derived)."""
    assert milled_ra_round_um(feed, nose, teeth, spread_of_teeth_um(run_out, teeth)) == pytest.approx(ra, abs=6e-5)


@pytest.mark.parametrize(
    ("feed", "land", "tilt", "spread", "ra", "simulated"),
    [(0.96, 1.4, 0.8, 3.0, 0.192, 0.20), (1.56, 1.4, 2.4, 12.28, 0.95020, 0.83), (1.56, 0.7, 2.4, 12.28, 3.1786, 3.51)],
)
def test_parallel_land(feed: float, land: float, tilt: float, spread: float, ra: float, simulated: float) -> None:
    found = milled_ra_land_um(feed, 1.2, land, tilt, spread)
    assert found == pytest.approx(ra, abs=5e-5)
    assert found == pytest.approx(simulated, rel=0.35)
    assert is_land_wide_enough(feed, land)
    assert not is_land_wide_enough(4.0, 1.4)
    assert not is_land_wide_enough(1.0, 0.0)


def in_iron(feed: float, nose: float, teeth: float, run_out: float, depth: float) -> float:
    run_out_ra = round_teeth_run_out_ra_um(feed, nose, spread_of_teeth_um(run_out, teeth))
    return iron_ra_um(1.25 * theoretical_ra_um(feed, nose), run_out_ra, 0.8, depth_factor(depth, 0.15))


@pytest.mark.parametrize(
    ("cutter", "depth", "ra"),
    [
        ((0.13, 1.2, 12.0, 20.0), 3.0, 4.9395),
        ((0.13, 1.2, 12.0, 30.0), 3.0, 6.9667),
        ((0.13, 1.2, 12.0, 20.0), 3.9, 5.1378),
        ((0.13, 1.2, 12.0, 20.0), 0.6, 3.8801),
        ((0.12, 0.8, 8.0, 10.0), 0.3, 2.4614),
        ((0.12, 0.8, 8.0, 5.0), 0.3, 1.5689),
        ((0.12, 0.8, 8.0, 10.0), 3.9, 3.3496),
    ],
)
def test_iron_with_sharp_teeth(cutter: tuple[float, float, float, float], depth: float, ra: float) -> None:
    assert in_iron(*cutter, depth) == pytest.approx(ra, abs=6e-5)


def test_a_wiper_leaves_what_shops_report() -> None:
    land = milled_ra_land_um(0.96, 0.8, 1.4, 0.8, spread_of_teeth_um(10.0, 8.0))
    assert iron_ra_um(land, 0.0, 0.8, 1.0) == pytest.approx(0.82272, abs=5e-5)


def test_rough_lies_above_finish_and_both_where_shops_find_them() -> None:
    """Trade figures, from memory: rough 3 to 12.5, finish 0.8 to 2.5 µm."""
    rough, finish, heavy = (
        in_iron(0.13, 1.2, 12, 20, 3.0),
        in_iron(0.12, 0.8, 8, 10, 0.3),
        in_iron(0.13, 1.2, 12, 20, 3.9),
    )
    assert 3.0 <= rough <= 12.5
    assert 0.8 <= finish <= 2.5
    assert heavy > rough > finish


def test_a_lick_over_a_rough_face_leaves_the_torn_layer() -> None:
    """The layer of a face of Ra 5 is 25 µm deep; a cut of 10 µm leaves 0.6 of it."""
    assert torn_share_left(10.0, 5.0) == pytest.approx(0.6)
    assert torn_share_left(300.0, 5.0) == 0.0


@pytest.mark.parametrize(("feed", "least", "rt"), [(0.1, 0.005, 5.0625), (0.22, 0.010, 13.389)])
def test_thin_chips_after_brammertz(feed: float, least: float, rt: float) -> None:
    """Brammertz 1961, from memory; arithmetic."""
    assert thin_chip_rt_um(feed, 0.8, least) == pytest.approx(rt, abs=5e-4)


def test_a_finer_feed_stops_paying() -> None:
    """The height has its least where f**4 = 4 h**2 r**2: below, it rises again."""
    best = math.sqrt(2.0 * 0.005 * 0.8)
    assert thin_chip_rt_um(best, 0.8, 0.005) < min(
        thin_chip_rt_um(0.8 * best, 0.8, 0.005), thin_chip_rt_um(1.2 * best, 0.8, 0.005)
    )
