"""Wheels, honing, heat, edges past their limit: arithmetic of laws from memory or derived, as said in each module."""

from __future__ import annotations

import math
from collections.abc import Callable

import pytest

from linesim.cutting.breaking import break_scale_factor, hit_chance, share_when_hit, tooth_load
from linesim.cutting.form import copying_factor
from linesim.cutting.heat import growth_um, kelvin_of_cut, warmth_after
from linesim.cutting.life import MOST_LIVES, share_of_growth, wear_growth, wear_land_mm
from linesim.cutting.regrinding import regrind_past_limit_mm
from linesim.cutting.sizing import HONED_EVENLY, honed_by_gauge_min, honed_form_um, reamed_um
from linesim.cutting.surface import worn_ra_um
from linesim.cutting.wheel import (
    STIFFENING,
    burn_energy_j_mm3,
    glazed_until,
    ground_ra_um,
    left_by_spark_out,
    not_sparked_out_um,
    wheel_wear_um,
)
from linesim.fast.run import run_fast
from linesim.floor.run import run_floor
from linesim.plan.build import make_plan
from linesim.plan.plan import Plan
from linesim.plan.tally import Tally
from tests.floors import a_blade, a_cut, a_shop


def test_wheel_lost_on_valve_seats() -> None:
    """Seat 40 x 1.5, stock 0.15: 28.274 mm³; wheel 45 of G 20: 6.667 µm a seat, 40 µm in a head of six."""
    seat = math.pi * 40.0 * 1.5 * 0.15
    assert seat == pytest.approx(28.274, abs=5e-4)
    assert wheel_wear_um(seat, 20.0, 45.0, 1.5) == pytest.approx(6.667, abs=5e-4)
    assert wheel_wear_um(6.0 * seat, 20.0, 45.0, 1.5) == pytest.approx(40.0)


def test_spark_out_fresh_and_glazed() -> None:
    """3 s: time constant 1 leaves 0.049787; 2.5 (a life and a half on) leaves 0.30119."""
    assert left_by_spark_out(3.0, 1.0, 0.0) == pytest.approx(0.049787, abs=6e-7)
    assert left_by_spark_out(3.0, 1.0, 1.5) == pytest.approx(0.30119, abs=6e-6)


def test_copying_of_a_glazed_wheel() -> None:
    """0.1 N/µm on a pilot of 2 N/µm copies 0.047619, three times as stiff 0.13043."""
    for share, copying in ((0.0, 0.047619), (1.0, 0.13043)):
        contact = 0.1 * (1.0 + STIFFENING * share)
        assert copying_factor(contact, 2.0) == pytest.approx(copying, abs=6e-6)


def test_what_a_glazed_wheel_leaves_on_after_sparking_out() -> None:
    """Fed at 60 µm/s, constants 1 s and 2.5 s: it lags 60 and 150 µm, of which 3 s leave 2.987 and 45.179 (derived)."""
    assert not_sparked_out_um(60.0, 3.0, 1.0, 1.5) == pytest.approx(150.0 * 0.301194 - 60.0 * 0.0497871, abs=1e-4)
    assert not_sparked_out_um(60.0, 3.0, 0.0, 1.5) == 0.0


def test_roughness_and_burn() -> None:
    assert ground_ra_um(0.5, 0.8, 1.0, 1.0) == pytest.approx(0.68964, abs=6e-6)
    assert (glazed_until(30.0, 20.0), glazed_until(15.0, 20.0)) == (0.5, 0.0)
    assert burn_energy_j_mm3(200.0, 0.02, 200.0) == pytest.approx(42.200, abs=6e-4)


def test_honing() -> None:
    """Taper 20: 15 µm of stock leaves 5, 30 leaves the floor."""
    assert honed_form_um(20.0, 15.0, 2.0 * HONED_EVENLY, 1.0) == 5.0
    assert honed_form_um(20.0, 30.0, 2.0 * HONED_EVENLY, 1.0) == 1.0
    assert honed_by_gauge_min(20.0, 5.0, 25.0, 0.2) == pytest.approx(1.2)
    assert honed_by_gauge_min(20.0, -30.0, 25.0, 0.2) == 0.2


def test_a_reamer_makes_its_own_size() -> None:
    """A reamer of 31.990 cuts 10 µm over (5 to 15 assumed): 32.000, 10 µm under a hole of 32.010, 5 µm per side."""
    assert reamed_um(31.990, 10.0, 32.010) == pytest.approx(5.0)
    assert reamed_um(32.010, 15.0, 32.010) == pytest.approx(-7.5)


@pytest.mark.parametrize(
    ("size", "expansion", "kelvin", "grown"), [(240, 10.8, 8, 20.736), (88, 10.8, 5, 4.752), (88, 23, 5, 10.12)]
)
def test_expansion(size: float, expansion: float, kelvin: float, grown: float) -> None:
    assert growth_um(size, expansion, kelvin) == pytest.approx(grown)


def test_warming_up() -> None:
    """A 30, 60 min warming, 90 cooling: after 30 min of standing -8.504; 10 min later -7.199; 79.305 min to 8 µm."""
    stood = warmth_after(1.0, 30.0, 0.0, 90.0)
    assert 30.0 * (stood - 1.0) == pytest.approx(-8.504, abs=5e-4)
    assert 30.0 * (warmth_after(stood, 10.0, 1.0, 60.0) - 1.0) == pytest.approx(-7.199, abs=6e-4)
    assert 30.0 * (1.0 - warmth_after(0.0, 79.305, 1.0, 60.0)) == pytest.approx(8.0, abs=1e-4)


def test_warm_and_cold_by_turns() -> None:
    """120 min on, 20 off for ever: -6.70442 at restart, -0.907345 at the stop."""
    warmth = 0.0
    for _ in range(200):
        warmth = warmth_after(warmth, 120.0, 1.0, 60.0)
        at_stop = warmth
        warmth = warmth_after(warmth, 20.0, 0.0, 90.0)
    assert 30.0 * (warmth - 1.0) == pytest.approx(-6.70442, abs=1e-4)
    assert 30.0 * (at_stop - 1.0) == pytest.approx(-0.907345, abs=1e-4)


def test_past_the_limit() -> None:
    """Clean-up 0.1 mm: 0.3 mm of land takes 0.4, 0.5 takes 0.8; roughness has its second term only past the limit."""
    assert regrind_past_limit_mm(0.3 + 0.1, 0.3, 0.3, 1.0) == pytest.approx(0.4)
    assert regrind_past_limit_mm(0.5 + 0.1, 0.5, 0.3, 1.0) == pytest.approx(0.8)
    assert worn_ra_um(1.0, 0.5, 0.8, 1.0, 0.5, 0.0) == pytest.approx(1.4)
    assert worn_ra_um(1.0, 0.5, 1.5, 1.0, 0.5, 0.0) == pytest.approx(1.0 + 0.75 + 0.125)


@pytest.mark.parametrize(("depth", "kelvin", "grown"), [(3.9, 2.2360, 5.7957), (0.3, 0.1720, 0.44582)])
def test_heat_of_a_heavy_and_of_a_light_cut(depth: float, kelvin: float, grown: float) -> None:
    """Off 200 x 430 mm, 2 J/mm³, a tenth of it into 60 kg of iron (share from memory): over 240 mm."""
    warmer = kelvin_of_cut(depth * 200.0 * 430.0 * 2.0, 0.1, 60.0, 500.0)
    assert warmer == pytest.approx(kelvin, abs=6e-5)
    assert growth_um(240.0, 10.8, warmer) == pytest.approx(grown, abs=6e-5)


def test_chip_load_of_the_tooth_that_stands_out() -> None:
    """50 µm at 0.13 mm and 10 µm at 0.12 mm; the exponent 3 is assumed (2 to 4)."""
    assert tooth_load(0.05, 0.13) == pytest.approx(1.3846, abs=5e-5)
    assert tooth_load(0.01, 0.12) == pytest.approx(1.0833, abs=5e-5)
    assert break_scale_factor(1.3846, 3.0) == pytest.approx(0.37673, abs=5e-6)


def test_a_mill_that_meets_sand_in_forty_parts() -> None:
    """0.0005 for each of 12 teeth and 40 parts: at least one hit with 0.21337 (exact; the chance is assumed)."""
    assert hit_chance(0.0005, 12.0, 40.0) == pytest.approx(0.21337, abs=5e-6)


@pytest.mark.parametrize("run", [run_floor, run_fast])
def test_mills_on_the_floor_meet_as_much_sand(run: Callable[[Plan, int, int], Tally]) -> None:
    """1 - exp(-0.0005 * 12) = 0.005982: 120 of 20,000 parts on average; false alarms 1 in 10,000 (3.9 deviations)."""
    content = {"features": {"face": {}}, "casting": {"sand": {"chance": 0.0005, "breaks": 0.0}}}
    strokes = {"strokes": {"stroke": {"cuts": {"cut": a_cut()}}}}
    mill = a_blade(life=1e12, teeth=12)
    works = a_shop({"Op 10": strokes}, line=content, cutters={"blade": mill}, castings=20_000, length=1e6)
    chance = 1.0 - math.exp(-0.0005 * 12)
    spread = math.sqrt(20_000 * chance * (1.0 - chance))
    hits = int(run(make_plan(works, "as stated"), 2811, 0).sand_hits.sum())
    assert abs(hits - 20_000 * chance) < 3.9 * spread


@pytest.mark.parametrize("growth", [0.0, 0.05, 0.3, 1.0, 2.5])
def test_the_share_of_a_growth_is_the_growth_turned_round(growth: float) -> None:
    """To 1e-12 along the house curve (arithmetic)."""
    share = share_of_growth(growth, 0.32, 0.057, 1.4)
    assert wear_growth(share, 0.32, 0.057, 1.4) == pytest.approx(growth, abs=1e-12)


@pytest.mark.parametrize(("share", "land_mm"), [(0.0, 0.05), (0.2, 0.1), (0.9, 0.2)])
def test_an_edge_that_is_hit_has_as_much_more_land(share: float, land_mm: float) -> None:
    """0.05 to 0.2 mm at a limit of 0.3, along the house curve, to 1e-12 (arithmetic; the lands are assumed)."""
    hit = share_when_hit(share, land_mm, 0.3, 0.32, 0.057, 1.4)
    before, after = (wear_land_mm(each, 0.3, 0.32, 0.057, 1.4) for each in (share, hit))
    assert after - before == pytest.approx(land_mm, abs=1e-12)
    assert share_when_hit(share, 0.0, 0.3, 0.32, 0.057, 1.4) == share


def test_a_curve_that_never_grows_so_far_ends_the_search() -> None:
    """All of the limit worn in at once and nothing after: 1 - exp(-w / 0.01) stays at 1 (arithmetic)."""
    assert share_of_growth(1.5, 1.0, 0.01, 1.4) == MOST_LIVES
    assert share_when_hit(0.5, 0.2, 0.3, 1.0, 0.01, 1.4) == MOST_LIVES
