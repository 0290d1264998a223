"""Blades on one bar, wheels, stones and reamers as the floor runs them, with figures worked out by hand."""

from __future__ import annotations

import math
from typing import Any

import pytest

from linesim.errors import ScenarioError
from tests.floors import PLAIN, Seen, a_blade, a_cut, a_shop, run_shop

BORE = {"face": {"kind": "bore", "diameter": 80.0, "size": {"limits": [79.0, 81.0]}, "as_cast": {"spread": "200 um"}}}
FACE = {"face": {"size": {"limits": [99.0, 101.0]}}}

BAR = {"diameter": 66.0, "overhang": 230.0}
SOFTENING = {"grades": {**PLAIN["grades"], "soft": {**PLAIN["grades"]["plain"], "wear_pressure_n_mm2": 600.0}}}


def cutting(cutters: dict[str, Any], features: dict[str, Any], *strokes: dict[str, Any], **works: Any) -> Seen:
    """Castings cut in one operation."""
    operation = {"strokes": {f"stroke {number}": {"cuts": cuts} for number, cuts in enumerate(strokes)}}
    works = {"castings": 40, **works}
    return run_shop(a_shop({"Op 10": operation}, line={"features": features}, cutters=cutters, **works))


def two_blades(second: dict[str, Any] | None = None, **works: Any) -> Seen:
    """A rough blade of slope 0.1144 N/µm and a finish blade of 0.24339 on one bar, in one stroke."""
    machine = 25.0
    stiff = 1.0 / (230.0**3 / (3.0 * 206e3 * math.pi * 66.0**4 / 64.0) * 1000.0 + 1.0 / machine)
    rough = a_cut("rough", bar=BAR, stiffness=machine, copying=0.1144 / (0.1144 + stiff))
    near = {**BAR, "station": 200.0, **(second or {})}
    near_stiff = 1.0 / (200.0**3 / (3.0 * 206e3 * math.pi * 66.0**4 / 64.0) * 1000.0 + 1.0 / machine)
    finish = a_cut("finish", bar=near, stiffness=machine, copying=0.24339 / (0.24339 + near_stiff))
    cutters = {"rough": a_blade(life=1e9), "finish": a_blade(life=1e9)}
    return cutting(cutters, BORE, {"rough": rough, "finish": finish}, **works)


@pytest.mark.parametrize(("angle", "share"), [(0.0, 0.0064845), (180.0, -0.0063080)])
def test_two_blades_in_one_stroke_leave_what_one_cut_leaves(angle: float, share: float) -> None:
    """Bar 66 held at one end, stations 230 and 200, 25 N/µm: solved as a beam with two forces."""
    seen = two_blades({"angle": angle})
    before, after = seen.errors("Op 10", what="loaded"), seen.errors("Op 10")
    assert max(map(abs, before)) > 200.0
    assert after == pytest.approx([share * error_um for error_um in before], rel=2e-4, abs=1e-4)


def test_a_bar_of_another_size_is_another_bar() -> None:
    """Then the factors multiply: 0.00695 x 0.013 is 9e-5."""
    seen = two_blades({"diameter": 70.0})
    before, after = seen.errors("Op 10", what="loaded"), seen.errors("Op 10")
    assert max(abs(error_um / found_um) for error_um, found_um in zip(after, before, strict=True)) < 1.1e-4


def test_a_dull_leader_moves_the_follower() -> None:
    """The leader is half worn in the 51st part: a land of 0.15 mm presses with 600 N/mm² on 0.8 + 0.125 mm of edge.

    Both blades stand at the end of a bar whose give is 230**3 / (3 E I), the machine's 1/25 µm/N. The follower copies a
    fifth of what the leader leaves: 15 µm by which its edge has drawn back, and what it is pushed away.
    """
    given = {"speed": 90.0, "feed": 0.25, "length": 100.0, "bar": BAR, "stiffness": 25.0}
    blade = {"diameter": 80.0, "nose_radius": 0.8}
    cutters = {"rough": a_blade(grade="soft", **blade), "finish": a_blade(life=1e9, **blade)}
    cuts = {
        "rough": a_cut("rough", depth=2.0, **given),
        "finish": a_cut("finish", **{"depth": 0.1, **given, "copying": 0.2}),
    }
    feature = {"face": {"kind": "bore", "size": {"limits": [79.0, 81.0]}}}
    seen = cutting(cutters, feature, cuts, castings=60, handbook=SOFTENING)
    give_um_n = 1000.0 * 230.0**3 / (3.0 * 206e3 * math.pi * 66.0**4 / 64.0) + 1.0 / 25.0
    pushed_um = 0.15 * 600.0 * 0.925 * give_um_n
    assert seen.errors("Op 10")[50] == pytest.approx(pushed_um + 0.2 * (15.0 + pushed_um), rel=1e-6)
    assert seen.errors("Op 10")[0] == pytest.approx(0.0, abs=1e-9)


# --- wheels ---------------------------------------------------------------------------------------------------------


def wheel(**entries: Any) -> dict[str, Any]:
    """A wheel of 45 mm that glazes in 10 min of grinding, dressed every so often."""
    made = {"g_ratio": 20.0, "track": 40.0 * math.pi, **entries.pop("wheel", {})}
    base = {"grade": "vitrified wheel 60", "diameter": 45.0, "life": 10.0, "sharp_roughness": 0.5}
    return {
        **a_blade(clearance_angle=None),
        **base,
        "renewal": {"dressed": {"dressings": 1000}},
        "wheel": made,
        **entries,
    }


def grinding(wheel: dict[str, Any], rule: Any = "run out", kind: str = "face", **entries: Any) -> Seen:
    """Six seats a part, ground one after another, a quarter of a minute each."""
    cut = a_cut("wheel", process="grinding", depth=0.15, minutes=0.25, **entries)
    feature = {"face": {"kind": kind, "places": 6, "size": {"limits": [0.0, 1.0]}}}
    return cutting({"wheel": wheel}, feature, {"grind": cut}, rule=rule, castings=12)


def test_a_wheel_wears_into_the_depth_of_the_seats() -> None:
    """Seat 40 mm, stock 0.15 mm, wheel 45 mm, G 20: 6.667 µm for each seat, and a machine that dresses begins anew."""
    seen = grinding(wheel(), {"parts": 2})
    first, second, third = seen.of_parts("complete", "Op 10")[:3]
    assert first.error_um == pytest.approx([6.6667 * place for place in range(6)], abs=1e-3)
    assert second.error_um[0] == pytest.approx(40.0, abs=1e-3)
    assert third.error_um == pytest.approx(first.error_um)


def test_a_seat_at_an_angle_shows_its_cosine_and_a_machine_that_makes_up_for_it_nothing() -> None:
    for share in (0.70711, 0.0):
        seen = grinding(wheel(wheel={"wear_to_size": share}))
        assert seen.of_parts("complete", "Op 10")[1].error_um[0] == pytest.approx(40.0 * share, abs=1e-3)


def test_run_out_takes_half_of_the_share_that_goes_to_form() -> None:
    seen = grinding(wheel(), kind="run-out")
    assert seen.of_parts("complete", "Op 10")[1].error_um[0] == pytest.approx(0.15 * 40.0, abs=1e-3)


def test_what_is_not_sparked_out_grows_as_the_wheel_glazes() -> None:
    """Fed at 60 µm/min, constant 0.1 min, 0.2 min of spark-out: fresh 6 exp(-2), glazed at w = 1 12 exp(-1)."""
    own = wheel(wheel={"wear_to_size": 0.0, "spark_out_constant": 0.1}, life=1.5, life_cv=0.0)
    seen = grinding(own, removal=60.0, spark_out=0.2)
    of_parts = seen.of_parts("complete", "Op 10")
    assert of_parts[0].error_um[0] == pytest.approx(0.0, abs=1e-12)
    assert of_parts[1].error_um[0] == pytest.approx(12.0 * math.exp(-1.0) - 6.0 * math.exp(-2.0))


def test_roughness_goes_from_the_dressed_to_the_glazed_figure() -> None:
    """Ra 0.5 to 0.8 with V0 the whole life: 0.68964 at the end of it."""
    seen = grinding(wheel(wheel={"glazed_roughness": 0.8, "settles": 1.0}, life=1.5))
    of_parts = seen.of_parts("complete", "Op 10")
    assert of_parts[0].roughness_um[0] == pytest.approx(0.5)
    assert of_parts[1].roughness_um[0] == pytest.approx(0.68964, abs=1e-5)


def test_a_glazed_wheel_copies_more() -> None:
    """0.1 N/µm on 2 N/µm copies 0.047619; three times as stiff after one life 0.13043."""
    cast = {"face": {"places": 1, "size": {"limits": [0.0, 1.0]}, "as_cast": {"spread": "40 um"}}}
    cut = a_cut("wheel", process="grinding", depth=1.0, minutes=1.0, stiffness=2.0, copying=0.1 / 2.1, spark_out=5.0)
    cutters = {"wheel": wheel(wheel={"wear_to_size": 0.0}, life=10.0)}
    seen = cutting(cutters, cast, {"grind": cut})
    before, after = seen.errors("Op 10", what="loaded"), seen.errors("Op 10")
    assert after[0] / before[0] == pytest.approx(0.047619, abs=1e-5)
    assert after[10] / before[10] == pytest.approx(0.13043, abs=1e-5)


def test_a_dressing_takes_what_has_worn_and_more_until_the_wheel_is_used_up() -> None:
    """40 µm worn in each part and 30 more: 0.2 mm stand two dressings, the third wants a new wheel."""
    own = wheel(renewal={"dressed": {"stock": 0.2, "takes": 30.0}}, sets=3)
    tally = grinding(own, {"parts": 1}).tally
    assert tally.planned.sum() == 11
    assert (tally.in_place.sum(), tally.bought.sum()) == (8, 3)


# --- stones and reamers ---------------------------------------------------------------------------------------------


def honing(**entries: Any) -> Seen:
    """Bores honed by a stone that takes 25 µm a minute, with 0.2 min of spark-out."""
    cut = a_cut("stones", process="honing", depth=0.3, minutes=None, copying=None, removal=25.0, spark_out=0.2)
    stones = {**a_blade(clearance_angle=None, life=1e9), "grade": "honing stone 220"}
    bores = {"face": {"kind": "bore", "size": {"limits": [79.0, 81.0]}, "as_cast": {"spread": "50 um"}}}
    return cutting({"stones": stones}, bores, {"hone": cut | entries})


def test_honing_by_time_keeps_the_size_error_whole() -> None:
    seen = honing(stops="by time")
    assert seen.errors("Op 10") == pytest.approx(seen.errors("Op 10", what="loaded"))
    assert max(map(abs, seen.errors("Op 10"))) > 50.0


def test_honing_by_a_gauge_stops_at_size_and_takes_as_long_as_the_stock_it_finds() -> None:
    seen = honing(stops="at size")
    assert seen.errors("Op 10") == pytest.approx([0.0] * 40, abs=1e-12)
    error_um = seen.errors("Op 10", what="loaded")[3]
    begun, done = seen.when("loaded", "Op 10")[3], seen.when("complete", "Op 10")[3]
    assert done - begun == pytest.approx((300.0 + error_um) / 25.0 + 0.2)


def test_a_reamer_ground_to_a_diameter_makes_its_own_size() -> None:
    """Ground to 79.990, it cuts 80.000; meant is 80.000 less twice the 10 µm still to be honed: 10 µm a side."""
    cut = a_cut("reamer", process="reaming", depth=0.15)
    stones = {**a_blade(clearance_angle=None, life=1e9), "grade": "honing stone 220"}
    hone = a_cut("stones", process="honing", depth=0.01, copying=None, stops="by time")
    cutters = {"reamer": a_blade(life=1e9, ground_to=79.990, oversize=10.0), "stones": stones}
    seen = cutting(cutters, {"face": {**BORE["face"], "as_cast": {}}}, {"ream": cut}, {"hone": hone})
    assert seen.errors("Op 10")[0] == pytest.approx(-10.0, abs=1e-6)


@pytest.mark.parametrize(
    ("entries", "words"),
    [
        ({"process": "grinding", "stops": "by time"}, "stops belongs to honing; the cut is grinding"),
        ({"stops": "by time", "copying": 0.1}, "stops and copying both say what is left"),
        ({"stops": "at size", "minutes": 1.0}, "takes as long as it needs; leave minutes out"),
    ],
)
def test_what_does_not_go_together_is_refused(entries: dict[str, Any], words: str) -> None:
    with pytest.raises(ScenarioError, match=words):
        honing(**entries)


def test_a_blade_beyond_its_bar_is_refused() -> None:
    with pytest.raises(ScenarioError, match=r"the station \(240 mm\) must lie on the bar \(230 mm\)"):
        two_blades({"station": 240.0})


def test_a_wheel_needs_its_diameter() -> None:
    with pytest.raises(ScenarioError, match="needs a diameter to work out the wear of the wheel"):
        grinding(wheel(diameter=None))


def test_a_wheel_is_used_up_in_one_way() -> None:
    with pytest.raises(ScenarioError, match="give either dressings or the stock of the wheel; found both"):
        grinding(wheel(renewal={"dressed": {"stock": 1.0, "dressings": 3}}))
