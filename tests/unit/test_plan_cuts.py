"""Figures of a cut in the plan by hand: blades share the feed, one blade bends the bar, passes are rounded up."""

from __future__ import annotations

import math
from typing import Any

import pytest

from linesim.handbook import abrasives, grades, materials
from linesim.plan.build import make_plan
from linesim.plan.cuts import CutFigures
from linesim.plan.figures import cut_figures
from tests.floors import a_cut, a_shop, a_tool

IRON = materials()["EN-GJL-250"]
CARBIDE = grades()["carbide", "grey iron"]
RATIO = CARBIDE.thrust_ratio


def at_the_nose(depth: float, feed: float, nose: float = 0.8) -> tuple[float, float]:
    """Specific force and cosine of the effective approach of an edge at 90°, by the circle of its nose."""
    if depth <= nose:
        half = math.acos(1.0 - depth / nose)
        edge, along = nose * half + feed / 2.0, nose * math.sin(half) + feed / 2.0
    else:
        edge, along = nose * math.pi / 2.0 + depth - nose + feed / 2.0, nose + feed / 2.0
    thickness = depth * feed / edge
    exponent = IRON.mc if thickness >= 0.05 else 0.4
    return IRON.kc11_n_mm2 * 0.05 ** (exponent - IRON.mc) * thickness**-exponent, along / math.hypot(depth, along)


def figures(process: str, cutter: dict[str, Any], places: int = 1, **cut: Any) -> CutFigures:
    """Of one cut of a bore of 80 mm in grey iron, or of a face."""
    kind = "face" if process == "milling" else "bore"
    feature = {"kind": kind, "places": places, "size": {"limits": [79.99, 80.01]}, "as_cast": {"stock": 9}}
    edge = {"sets": 1, "grade": "carbide", "nose_radius": 0.8, "renewal": {"bought": {}}, "life": 60} | cutter
    entries = {"feature": "feature", "cutter": "edge", "process": process, "speed": 100, "length": 90} | cut
    operation = {"strokes": {"stroke": {"cuts": {"cut": entries}}}, "stiffness": 20, "efficiency": 0.8}
    works = a_shop(
        {"Op 10": operation}, line={"features": {"feature": feature}}, cutters={"edge": edge}, handbook={}
    )  # fmt: skip
    return cut_figures(works)["line", "Op 10", "stroke", "cut"]


@pytest.mark.parametrize("blades", [1, 2, 4])
def test_the_blades_of_a_boring_head_share_the_feed_and_balance_each_other(blades: int) -> None:
    """Feed 0.4 a turn: each blade's chip is 0.4 / blades thick, and the force of one blade bends the bar."""
    answer = figures("boring", {"teeth": blades, "lead_angle": 90}, depth=1.5, feed=0.4, approach=2, overrun=4)
    specific, into_the_work = at_the_nose(1.5, 0.4 / blades)
    rpm = 1000.0 * 100.0 / (math.pi * 80.0)
    assert answer.spindle_rpm == pytest.approx(rpm)
    assert answer.cut_min == pytest.approx(96.0 / (0.4 * rpm))
    assert answer.cutting_force_n == pytest.approx(specific * 1.5 * 0.4, rel=1e-9)
    assert answer.radial_force_n == pytest.approx(RATIO * into_the_work * specific * 1.5 * 0.4 / blades, rel=1e-9)
    assert answer.power_kw == pytest.approx(specific * 1.5 * 0.4 * 100.0 / 60_000.0 / 0.8, rel=1e-9)


@pytest.mark.parametrize(("places", "at_once", "passes"), [(3, 1, 3), (3, 2, 2), (4, 2, 2), (5, 3, 2), (1, 4, 1)])
def test_places_that_do_not_fill_a_pass_take_one_all_the_same(places: int, at_once: int, passes: int) -> None:
    cutter = {"teeth": 1, "lead_angle": 90}
    answer = figures("boring", cutter, places, depth=1.0, feed=0.2, minutes=0.7, at_once=at_once)
    assert (answer.passes, answer.pass_min) == (passes, 0.7)
    assert answer.cut_min == pytest.approx(passes * 0.7)


def test_a_face_mill_is_fed_by_the_tooth_and_runs_clear_of_the_face() -> None:
    """Ten teeth at 0.1 are 1 mm a turn; it travels length, its own diameter, approach and overrun."""
    cutter = {"teeth": 10, "lead_angle": 90, "diameter": 100}
    answer = figures("milling", cutter, depth=2.0, feed=0.1, width=60, approach=3, overrun=5)
    rpm = 1000.0 * 100.0 / (math.pi * 100.0)
    assert answer.feed_rate_mm_min == pytest.approx(rpm)
    assert answer.cut_min == pytest.approx((90.0 + 100.0 + 3.0 + 5.0) / rpm)


def test_drilling_takes_the_whole_hole_and_two_lips() -> None:
    """A drill of 10 mm, flat lips, round corners: chips of half the feed, torque of the solid hole k f D**2 / 8000."""
    answer = figures("drilling", {"teeth": 2, "lead_angle": 90, "diameter": 10}, depth=5.0, feed=0.2)
    specific, _ = at_the_nose(5.0, 0.1)
    rpm = 1000.0 * 100.0 / (math.pi * 10.0)
    torque_nm = specific * 0.2 * 10.0**2 / 8000.0
    assert answer.power_kw == pytest.approx(torque_nm * rpm * 2.0 * math.pi / 60_000.0 / 0.8, rel=1e-9)


def test_reaming_takes_an_annulus_and_each_blade_its_share() -> None:
    """A reamer of 20 mm in a hole of 19.7: the force of depth times feed, at the mean radius of what it takes.

    Six blades share a feed of 0.6, so each lives and bends as one that is fed 0.1; it follows the hole by a fifth.
    """
    reamer = {"teeth": 6, "lead_angle": 90, "diameter": 20, "life": None}
    answer = figures("reaming", reamer, depth=0.15, feed=0.6, approach=1, overrun=9, in_skin=False)
    rpm = 1000.0 * 100.0 / (math.pi * 20.0)
    specific, into_the_work = at_the_nose(0.15, 0.1)
    force_n = specific * 0.15 * 0.6 * (20.0 + 19.7) / 40.0
    assert answer.cut_min == pytest.approx(100.0 / (0.6 * rpm))
    assert answer.cutting_force_n == pytest.approx(force_n, rel=1e-9)
    assert answer.power_kw == pytest.approx(force_n * 100.0 / 60_000.0 / 0.8, rel=1e-9)
    assert answer.radial_force_n == pytest.approx(RATIO * into_the_work * specific * 0.15 * 0.1, rel=1e-9)
    of_reference = 100.0 / CARBIDE.ref_speed_m_min, 0.1 / CARBIDE.ref_feed_mm, 0.15 / CARBIDE.ref_depth_mm
    powers = -1.0 / CARBIDE.n, -CARBIDE.p, -CARBIDE.q
    factors = math.prod(base**power for base, power in zip(of_reference, powers, strict=True))
    assert answer.life_min == pytest.approx(CARBIDE.ref_life_min * factors, rel=1e-9)
    assert answer.copying == 0.2
    assert answer.cutting_stiffness_n_um == pytest.approx(20.0 * 0.2 / 0.8)


@pytest.mark.parametrize(
    ("process", "name", "own", "minutes"),
    [
        # The handbook's stone: 50 µm a minute and 0.1 min of spark-out. What the cut says goes first.
        ("honing", "honing stone 220", {}, 1.1),
        ("honing", "honing stone 220", {"removal": 20}, 2.6),
        ("grinding", "vitrified wheel 60", {"removal": 100, "spark_out": 0.2}, 0.7),
        ("grinding", "vitrified wheel 60", {"minutes": 3}, 3.0),
    ],
)
def test_stones_and_wheels_go_by_stock_and_rate_and_bend_nothing(
    process: str, name: str, own: dict[str, Any], minutes: float
) -> None:
    """0.05 mm at the rate given, plus spark-out, pass by pass; the form is copied by the handbook's share."""
    stone = abrasives()[name]
    cutter = {"grade": name, "nose_radius": None, "life": None}
    answer = figures(process, cutter, 4, depth=0.05, speed=None, length=None, at_once=2, **own)
    assert (answer.passes, answer.pass_min) == (2, pytest.approx(minutes))
    assert answer.cut_min == pytest.approx(2.0 * minutes)
    assert (answer.power_kw, answer.cutting_force_n, answer.radial_force_n, answer.tan_clearance) == (0, 0, 0, 0)
    assert answer.copying == stone.copying_factor
    slope = 20.0 * stone.copying_factor / (1.0 - stone.copying_factor)
    assert answer.cutting_stiffness_n_um == pytest.approx(slope)
    assert (answer.life_min, answer.sharp_roughness_um) == (stone.life_min, stone.roughness_sharp_um)


def test_stress_let_go_is_the_cuts_own_figure_before_the_materials() -> None:
    """So many µm for each mm taken off: 1.5 mm at 4 µm/mm let go 6 µm."""
    edge = {"teeth": 1, "lead_angle": 90}
    own = figures("boring", edge, depth=1.5, feed=0.2, minutes=1.0, stress_release=4.0)
    assert own.stress_um == pytest.approx(6.0)
    assert figures("boring", edge, depth=1.5, feed=0.2, minutes=1.0).stress_um == pytest.approx(1.5 * IRON.stress_um_mm)


# --- breaking by chip load -------------------------------------------------------------------------------------------


def broken_at(cutter: dict[str, Any], **cut: Any) -> float:
    """Scale of breaking, over the 2 that is stated, of a mill in iron."""
    mill = {"grade": "carbide", "life": 100.0, "diameter": 250.0, "nose_radius": 1.2, "teeth": 12, "breaking": BREAKING}
    grades = {"carbide": {"ref_feed_mm": 0.13, "ref_depth_mm": 3.0}}
    entries = {"process": "milling", "depth": 3.0, "width": 200.0, "length": 430.0, "speed": 100.0, "feed": 0.13, **cut}
    works = a_shop(
        {"Op 10": {"strokes": {"stroke": {"cuts": {"cut": a_cut("mill", **{"minutes": None, **entries})}}}}},
        line={"features": {"face": {}}},
        cutters={"mill": a_tool(**mill | cutter)},
        handbook={"grades": grades},
    )
    return float(make_plan(works, "as stated").kinds.break_scale[0]) / 2.0


BREAKING = {"shape": 3.0, "scale": 2.0}


def test_an_edge_breaks_sooner_by_the_load_of_the_tooth_that_stands_out() -> None:
    """Run-out 50 µm at 0.13 mm: 18/13 of the load; cubed, (13/18)³ of the life share."""
    assert broken_at({"seat": "pressed", "break_by_load": 3.0}) == pytest.approx((13.0 / 18.0) ** 3)
    assert broken_at({"seat": "pressed"}) == 1.0
    assert broken_at({"run_out": 0.0, "break_by_load": 3.0}) == pytest.approx(1.0)


def test_a_deeper_cut_loads_the_edge_in_proportion_to_depth_and_mean_chip() -> None:
    """The mean chip is a f / L; at 90° and a nose of 1.2 the edge is L = 1.2 pi / 2 + a - 1.2 + f / 2."""
    deep = broken_at({"run_out": 0.0, "break_by_load": 2.0, "lead_angle": 90.0}, depth=4.0)
    thick = broken_at({"run_out": 0.0, "break_by_load": 2.0, "lead_angle": 90.0}, feed=0.26)
    # The mean chip of one tooth over its engagement: width 200 of 250, centred, as the force is worked out.
    engaged = 2.0 * math.asin(0.8)
    half_f = 0.5 * 0.13 * 200.0 / 125.0 / engaged
    edge = [1.2 * math.pi / 2 + a - 1.2 for a in (3.0, 4.0)]
    assert deep == pytest.approx(((4.0**2 / (edge[1] + half_f)) / (3.0**2 / (edge[0] + half_f))) ** -2, rel=1e-9)
    assert thick == pytest.approx((2.0 * (edge[0] + half_f) / (edge[0] + 2.0 * half_f)) ** -2, rel=1e-9)
