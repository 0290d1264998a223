"""What cuts leave on the part as the floor makes them: the law of the cut with figures worked out by hand.

The law: e' = mu e + F_w g(w) / k_m + 1000 VB tan(alpha) - offset + chance; Ra' = Ra (1 + c_R g(w)**q);
scratch' = max(0, scratch - 1000 a). Sources of its terms: Kienzle (force), Sokolovsky (copying), ISO 3685 (wear land).
"""

from __future__ import annotations

import math
from typing import Any

import pytest

from tests.floors import PLAIN, Seen, a_blade, a_cut, a_shop, run_shop

FACE = {"face": {"size": {"limits": [99.0, 101.0]}}}
ROUGH_CASTING = {"face": {"size": {"limits": [99.0, 101.0]}, "as_cast": {"spread": "200 um", "roughness": 20.0}}}


def cutting(
    strokes: dict[str, dict[str, dict[str, Any]]], features: dict[str, Any] = FACE, castings: int = 20, **works: Any
) -> Seen:
    """Castings cut in one operation, by blades without scatter."""
    operation = {"strokes": {name: {"cuts": cuts} for name, cuts in strokes.items()}}
    cutters = works.pop("cutters", None) or {"blade": a_blade()}
    return run_shop(
        a_shop({"Op 10": operation}, line={"features": features}, cutters=cutters, castings=castings, **works)
    )


def into_the_work_n(depth: float, feed: float = 0.25, nose: float = 0.8) -> float:
    """Thrust of an edge at 90° that cuts deeper than its nose, turned into the work."""
    edge, along = nose * math.pi / 2.0 + depth - nose + feed / 2.0, nose + feed / 2.0
    cutting = 1160.0 * (depth * feed / edge) ** -0.26 * depth * feed
    return 0.6 * cutting * along / math.hypot(depth, along)


def test_a_sharp_edge_copies_its_share_of_the_unevenness() -> None:
    seen = cutting({"stroke": {"cut": a_cut(copying=0.2)}}, ROUGH_CASTING, cutters={"blade": a_blade(life=1e9)})
    before, after = seen.errors("Op 10", what="loaded"), seen.errors("Op 10")
    assert max(map(abs, before)) > 200.0
    assert after == pytest.approx([0.2 * error_um for error_um in before], abs=1e-3)


def test_copying_follows_from_the_stiffness_of_cut_and_machine() -> None:
    """k_c is the rise of the force into the work with depth (EN-GJL-250, nose 0.8), against 20 N/um of the machine.

    Kienzle's k_c1.1 = 1160 N/mm2 and m_c = 0.26; thrust 0.6 of the cutting force, turned by the circle of the nose.
    """
    cut = a_cut(copying=None, speed=90.0, feed=0.25, length=100.0, minutes=None, stiffness=20.0)
    blade = a_blade(life=1e9, diameter=80.0)
    seen = cutting({"stroke": {"cut": cut}}, ROUGH_CASTING, cutters={"blade": blade})
    slope_n_um = (into_the_work_n(1.0005) - into_the_work_n(0.9995)) / 1.0
    share = slope_n_um / (slope_n_um + 20.0)
    before, after = seen.errors("Op 10", what="loaded"), seen.errors("Op 10")
    assert after == pytest.approx([share * error_um for error_um in before], rel=1e-4, abs=1e-4)


def test_a_worn_edge_draws_back_and_gives_way() -> None:
    """Ra doubles by the end of life, and the land presses on the work; in the 51st part the edge is half worn.

    Recession 1000 x 0.15 mm x 0.1 = 15 um; 400 N for each mm of land and of edge along the feed, 0.8 + 0.125 mm at a
    depth beyond the nose, so 55.5 N from a land of 0.15 mm on 20 N/um; roughness 1.5 um.
    """
    soft = {key: value for key, value in PLAIN["grades"]["plain"].items() if key != "force_growth"}
    grades = {"grades": {"soft": {**soft, "wear_pressure_n_mm2": 400.0, "roughness_growth": 1.0}}}
    cut = a_cut(copying=None, depth=2.0, speed=90.0, feed=0.25, length=100.0, stiffness=20.0)
    works = {"cutters": {"blade": a_blade(grade="soft", diameter=80.0)}, "handbook": grades}
    seen = cutting({"stroke": {"cut": cut}}, castings=60, **works)
    assert seen.errors("Op 10")[50] == pytest.approx(15.0 + 400.0 * 0.15 * 0.925 / 20.0)
    assert seen.of_parts("complete", "Op 10")[50].roughness_um == pytest.approx([1.5])


def test_wear_follows_the_curve_of_the_grade() -> None:
    """g(0.5) = 0.3 (1 - exp(-5)) + [1 - 0.3 (1 - exp(-10))] 0.25, with b = 0.3, tau = 0.1, gamma = 2."""
    curve = {"wear_b": 0.3, "wear_tau": 0.1, "wear_gamma": 2.0}
    grades = {"grades": {"curved": {**PLAIN["grades"]["plain"], **curve}}}
    works = {"cutters": {"blade": a_blade(grade="curved")}, "handbook": grades}
    seen = cutting({"stroke": {"cut": a_cut()}}, castings=60, **works)
    growth = 0.3 * 0.993262053 + (1.0 - 0.3 * 0.9999546) * 0.25
    assert seen.errors("Op 10")[50] == pytest.approx(30.0 * growth, rel=1e-6)


def test_places_cut_one_after_the_other_find_the_edge_more_worn() -> None:
    """Four bores, one pass of 1 min each: 0.3 um more from one to the next."""
    bores = {"face": {"kind": "bore", "places": 4, "diameter": 80.0}}
    seen = cutting({"stroke": {"cut": a_cut()}}, bores, castings=2)
    first, second = seen.of_parts("complete", "Op 10")
    assert first.error_um == pytest.approx([0.0, 0.3, 0.6, 0.9])
    assert second.error_um == pytest.approx([1.2, 1.5, 1.8, 2.1])
    assert seen.when("left", "Op 10") == [4.0, 8.0]


def test_places_cut_at_once_find_the_edges_alike() -> None:
    """Two spindles: bores 1 and 2 in the first minute, 3 and 4 in the second."""
    bores = {"face": {"kind": "bore", "places": 4, "diameter": 80.0}}
    seen = cutting({"stroke": {"cut": a_cut(at_once=2)}}, bores, castings=2)
    first, second = seen.of_parts("complete", "Op 10")
    assert first.error_um == pytest.approx([0.0, 0.0, 0.3, 0.3])
    assert second.error_um == pytest.approx([0.6, 0.6, 0.9, 0.9])
    assert seen.when("left", "Op 10") == [2.0, 4.0]


def test_in_one_stroke_the_trailing_blade_follows_the_leading_one() -> None:
    """The first leaves 0.3 of the unevenness, the second 0.1 of that; both in the time of the longer one."""
    cuts = {"lead": a_cut("lead", copying=0.3, minutes=3.0), "trail": a_cut("trail", copying=0.1, depth=0.3)}
    cutters = {"lead": a_blade(life=1e9), "trail": a_blade(life=1e9, sharp_roughness=0.5)}
    seen = cutting({"stroke": cuts}, ROUGH_CASTING, cutters=cutters, castings=3)
    before = seen.errors("Op 10", what="loaded")
    assert seen.errors("Op 10") == pytest.approx([0.03 * error_um for error_um in before], abs=1e-4)
    assert seen.of_parts("complete", "Op 10")[0].roughness_um == [0.5]
    assert seen.when("left", "Op 10") == [3.0, 6.0, 9.0]


def test_the_order_of_cuts_is_that_of_the_stroke() -> None:
    """The finer blade first: the coarser one behind it makes the surface."""
    cuts = {"fine": a_cut("fine", depth=0.3), "coarse": a_cut("coarse")}
    cutters = {"fine": a_blade(sharp_roughness=0.5), "coarse": a_blade(sharp_roughness=2.0)}
    seen = cutting({"stroke": cuts}, ROUGH_CASTING, cutters=cutters, castings=1)
    assert seen.of_parts("complete", "Op 10")[0].roughness_um == [2.0]


def test_where_the_metal_is_not_there_the_cut_does_not_clean_up() -> None:
    """A cut of 0.1 mm on castings uneven by 0.2 mm: what lies more than 0.1 mm too deep keeps its skin.

    It then lies 100 um nearer to the surface intended; a second cut of 0.5 mm cleans it.
    """
    cuts = {"skim": a_cut(depth=0.1)}
    seen = cutting({"first": cuts}, ROUGH_CASTING, castings=100, cutters={"blade": a_blade(life=1e9)})
    before = seen.errors("Op 10", what="loaded")
    unclean = [error_um <= -100.0 for error_um in before]
    after = seen.of_parts("complete", "Op 10")
    assert [not values.is_clean[0] for values in after] == unclean
    assert 10 < sum(unclean) < 90
    for error_um, is_unclean, values in zip(before, unclean, after, strict=True):
        # The skin of Ra 20 is torn 100 um deep: where less is taken, its share stays.
        torn = max(1.0, 20.0 * (1.0 - (100.0 + error_um) / 100.0))
        expected = (100.0 + error_um, 20.0) if is_unclean else (0.0, torn)
        assert (values.error_um[0], values.roughness_um[0]) == pytest.approx(expected, abs=1e-4)
    assert seen.tally.unclean.tolist() == [sum(unclean)]
    assert seen.tally.parts_out.tolist() == [sum(unclean)]


def test_a_deeper_cut_cleans_what_a_skim_left() -> None:
    strokes = {"first": {"skim": a_cut(depth=0.1)}, "second": {"deep": a_cut(depth=1.5)}}
    seen = cutting(strokes, ROUGH_CASTING, castings=50, cutters={"blade": a_blade(life=1e9)})
    assert seen.tally.unclean.tolist() == [0]
    assert seen.errors("Op 10") == pytest.approx([0.0] * 50, abs=1e-4)


def test_edges_of_one_kind_wear_by_their_own_lives() -> None:
    """A life that scatters by 30 % shows in how far the edge has receded after 50 parts, each edge by its own."""
    seen = cutting(
        {"stroke": {"cut": a_cut()}}, castings=204, cutters={"blade": a_blade(life_cv=0.3)}, rule={"parts": 51}
    )
    last = [seen.errors("Op 10")[at] for at in (50, 101, 152, 203)]
    lives = [30.0 * 50.0 / error_um for error_um in last]
    assert len({round(life, 6) for life in lives}) == 4
    assert [change.life_share for change in seen.changes] == pytest.approx([51.0 / life for life in lives[:3]])


def test_repeatability_and_stress_let_go_scatter_the_size() -> None:
    """s_m = 2 um and 3 um/mm x 1 mm: variance 13 um2, mean 0; over 4000 parts, to four standard errors."""
    cut = a_cut(repeatability=2.0, stress_release=3.0)
    seen = cutting({"stroke": {"cut": cut}}, castings=4_000, length=4_001.0, cutters={"blade": a_blade(life=1e9)})
    errors = seen.errors("Op 10")
    mean = sum(errors) / 4_000
    variance = sum((error_um - mean) ** 2 for error_um in errors) / 3_999
    assert abs(mean) <= 4.0 * (13.0 / 4_000) ** 0.5
    assert abs(variance - 13.0) <= 4.0 * 13.0 * (2.0 / 3_999) ** 0.5


def test_what_is_shipped_is_counted_as_it_truly_is() -> None:
    """Ten parts with 0, 0.3, ... 2.7 um left on, against limits of 2 um: three are too large."""
    features = {"face": {"size": {"limits": [99.998, 100.002]}}}
    tally = cutting({"stroke": {"cut": a_cut()}}, features, castings=10).tally
    errors = [0.3 * part for part in range(10)]
    assert tally.places.tolist() == [10]
    assert tally.total[0, 0] == pytest.approx(sum(errors))
    assert tally.square[0, 0] == pytest.approx(sum(error_um**2 for error_um in errors))
    assert (tally.least[0, 0], tally.greatest[0, 0]) == pytest.approx((0.0, 2.7))
    assert (tally.below[0, 0], tally.above[0, 0]) == (0, 3)
    assert tally.parts_out.tolist() == [3]
