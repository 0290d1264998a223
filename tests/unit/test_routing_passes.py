"""Passes on paper and the least stock, worked out by hand.

Lives do not scatter and wear grows in proportion, so that over an interval that ends at the share s the growth is
uniform from 0 to s: taken at 24 midpoints its mean is s / 2 and its variance s² (24² - 1) / (12 · 24²).
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import replace

import pytest

from linesim.plan.cuts import CutFigures
from linesim.routing.least_stock import LeastStock, StockRules, best_of, choices_of
from linesim.routing.passes import CutPass, MovePass, PassState, after_pass, passes_of, state_as_cast, states_after
from linesim.works.features import Feature
from tests.floors import a_blade, a_cut, a_shop

UNIFORM = 575 / 6912
"""Variance of the 24 midpoints of an interval of length 1."""

FIGURES = CutFigures(
    spindle_rpm=100.0, feed_rate_mm_min=10.0, pass_min=1.0, passes=1, cut_min=1.0, power_kw=2.0, cutting_force_n=90.0,
    radial_force_n=90.0, cutting_stiffness_n_um=1.0, stiffness_n_um=9.0, copying=0.1, life_min=100.0,
    sharp_roughness_um=1.0, wear_force_n=0.0, wear_slope_n_um=0.0, wear_cutting_n=0.0, least_metal_um=0.0,
    least_metal_rise_um=0.0, wear_limit_mm=0.3, wear_b=0.0, wear_tau=1.0, wear_gamma=1.0,
    tan_clearance=0.1, stress_um=0.0, roughness_growth=0.6, roughness_power=1.0, roughness_past=0.5,
    roughness_floor_um=0.1, mounted_sigma=0.0, life_cv=0.0, break_shape=1.0, break_scale=math.inf, assumed=(),
)  # fmt: skip
"""Copies a tenth of the error found, recedes 30 µm over its life, and gets rougher by 0.6 of 1 µm."""

CAST = PassState(0.0, 100.0, 25.0, 0.0)


def in_proportion(of: CutFigures) -> Callable[[float], CutFigures]:
    """Figures whose power and press grow in proportion to the depth, from those at 1 mm."""
    return lambda depth: replace(of, power_kw=of.power_kw * depth, wear_force_n=of.wear_force_n * depth)


def a_pass(name: str = "rough", **entries: object) -> CutPass:
    """A cut that returns to 3 µm, is changed at the end of its life, and scatters by a tenth in roughness."""
    own = {
        "operation": "Op 10", "stroke": "one", "name": name, "cutter": "blade", "process": "boring", "depth_mm": 1.0,
        "figures": FIGURES, "figured": in_proportion(FIGURES), "repeatability_um": 3.0, "roughness_cv": 0.1,
        "change_share": 1.0, "rating_kw": None,
    }  # fmt: skip
    if "figures" in entries:
        own["figured"] = in_proportion(entries["figures"])  # type: ignore[arg-type]
    return CutPass(**{**own, **entries})  # type: ignore[arg-type]


def figures(**changes: float) -> CutFigures:
    return CutFigures(**{**vars(FIGURES), **changes})  # type: ignore[arg-type]


def finish(**entries: object) -> CutPass:
    """A finish cut that copies a twentieth, returns to 1 µm, and is changed at half its life."""
    stiff = {"figures": figures(stiffness_n_um=19.0), "repeatability_um": 1.0, "change_share": 0.5}
    return a_pass("finish", **{**stiff, **entries})


def test_error_and_roughness_after_one_cut() -> None:
    end = after_pass(CAST, a_pass(figures=figures(stress_um=4.0)))
    assert end.mean_um == pytest.approx(15.0)
    assert end.sd_um == pytest.approx(math.sqrt(0.1**2 * 100.0**2 + 30.0**2 * UNIFORM + 3.0**2 + 4.0**2))
    assert end.ra_um == pytest.approx(1.3)
    assert end.ra_sd_um == pytest.approx(math.sqrt(0.6**2 * UNIFORM * 1.01 + 0.13**2))
    assert end.is_cut


def test_the_figures_follow_the_depth() -> None:
    """The dull edge presses with 90 N for each millimetre, on 9 N/µm: 10 µm at 1 mm, 20 at 2 mm."""
    soft = a_pass(figures=figures(wear_force_n=90.0, cutting_stiffness_n_um=0.0, stress_um=4.0))
    for depth, moved, stress in ((1.0, 30.0 + 10.0, 4.0), (2.0, 30.0 + 20.0, 4.0)):
        end = after_pass(CAST, soft.at_depth(depth))
        assert end.mean_um == pytest.approx(moved / 2.0)
        assert end.sd_um == pytest.approx(math.sqrt(moved**2 * UNIFORM + 3.0**2 + stress**2))
    assert soft.at_depth(2.0).power_kw == pytest.approx(4.0)


def test_a_chain_of_cuts_hands_on_its_moments() -> None:
    rough, moved, fine = states_after(CAST, [a_pass(), MovePass("Op 20", 5.0), finish()])
    variance = 100.0 + 900.0 * UNIFORM + 9.0
    assert rough.sd_um == pytest.approx(math.sqrt(variance))
    assert (moved.mean_um, moved.ra_um, moved.is_cut) == (rough.mean_um, rough.ra_um, True)
    assert moved.sd_um == pytest.approx(math.sqrt(variance + 25.0))
    assert fine.mean_um == pytest.approx(15.0 / 20.0 + 7.5)
    assert fine.sd_um == pytest.approx(math.sqrt((variance + 25.0) / 400.0 + 15.0**2 * UNIFORM + 1.0))


def test_a_gauge_holds_the_mean_down_to_its_dead_band() -> None:
    held = after_pass(PassState(15.0, 20.0, 1.3, 0.0, True), finish(dead_band_um=6.0))
    assert held.mean_um == 0.0
    assert held.sd_um == pytest.approx(math.sqrt(400.0 / 400.0 + 36.0 / 3.0 + 1.0))


def test_no_cut_is_finer_than_its_process() -> None:
    end = after_pass(CAST, a_pass(figures=figures(roughness_floor_um=2.0)))
    assert end.ra_um == 2.0
    assert end.ra_sd_um == pytest.approx(math.sqrt(0.6**2 * UNIFORM * 1.01 + 0.2**2))


def test_lives_that_scatter_wear_the_edge_further_on_average() -> None:
    """The mean of 1 / life is (1 + cv²) / mean life; twelve steps of chance lose 1 % of the tail at most."""
    end = after_pass(CAST, a_pass(figures=figures(life_cv=0.3)))
    assert end.mean_um == pytest.approx(15.0 * 1.09, rel=0.01)
    assert end.mean_um < 15.0 * 1.09


def test_passes_are_read_from_the_routing() -> None:
    """Rough is changed after 50 of 100 parts, finish after 20; Op 20 moves the face, and a gauge resets the finish."""
    gauge = {"feature": "face", "corrects": {"cut": "finish", "operation": "Op 20", "dead_band": 4.0}}
    rough = {"strokes": {"one": {"cuts": {"rough": a_cut("rough", depth=2.0, repeatability=3.0)}}}, "power": 7.0}
    fine = {"strokes": {"one": {"cuts": {"finish": a_cut("finish", depth=0.5, roughness_cv=0.2)}}},
            "disturbs": {"face": 5.0}, "gauges": {"gauge": gauge}}  # fmt: skip
    works = a_shop(
        {"Op 10": rough, "Op 20": fine},
        line={"features": {"face": {"size": {"limits": [29.9, 30.1], "loss_at_limit": 1.0},
                                    "as_cast": {"spread": 80.0, "roughness": 25.0}}}},
        cutters={"rough": a_blade(), "finish": a_blade()},
        rule={"parts": 50},
        exceptions={"finish": {"parts": 20}},
    )  # fmt: skip
    assert state_as_cast(works, "line", "face") == PassState(0.0, 80.0, 25.0, 0.0)
    first, second, moved = passes_of(works, "line", "face")
    assert isinstance(first, CutPass)
    assert isinstance(second, CutPass)
    assert (first.operation, first.name, first.cutter, first.process) == ("Op 10", "rough", "rough", "boring")
    assert (first.depth_mm, first.repeatability_um, first.rating_kw, first.dead_band_um) == (2.0, 3.0, 7.0, None)
    assert (second.depth_mm, second.roughness_cv, second.rating_kw, second.dead_band_um) == (0.5, 0.2, None, 4.0)
    assert (first.change_share, second.change_share) == (pytest.approx(0.5), pytest.approx(0.2))
    assert moved == MovePass("Op 20", 5.0)


# --- the least stock -------------------------------------------------------------------------------------------------


def the_rule(kind: str = "face", total_mm: float = 2.0, wanted: float = 4.0 / 3.0, **entries: object) -> LeastStock:
    size = {"limits": [29.97, 30.03] if kind == "face" else [29.94, 30.06], "loss_at_limit": 1.0}
    feature = Feature.model_validate({"kind": kind, "size": size, **entries})
    return LeastStock(feature, CAST, StockRules(), total_mm, wanted, 0.0)


CUT_BEFORE = PassState(10.0, 20.0, 4.0, 0.5, True)
SCRATCH = {"limit": 10.0, "chance_per_move": 0.1, "depth": 18.0, "depth_cv": 0.5}


@pytest.mark.parametrize(
    ("rule", "state", "least_um"),
    [
        # Rz 5 · 4, form 3 · 20 less the 10 left on, set-up 3 · 3.
        (the_rule(), CUT_BEFORE, 20.0 + 50.0 + 9.0),
        (the_rule("bore"), CUT_BEFORE, 20.0 + math.hypot(50.0, 9.0)),
        # A scratch of 18 (1 + 2 · 0.5) is deeper than Rz; a casting has none yet.
        (the_rule(scratch=SCRATCH), CUT_BEFORE, 36.0 + 50.0 + 9.0),
        (the_rule(scratch=SCRATCH), CAST, 125.0 + 300.0 + 300.0 + 9.0),
        # What comes finer than Ra 12.5 has no skin.
        (the_rule(), PassState(0.0, 100.0, 12.0, 0.0), 60.0 + 300.0 + 9.0),
        # Nor has what was cut, however rough it was left.
        (the_rule(), PassState(0.0, 10.0, 20.0, 0.0, True), 100.0 + 30.0 + 9.0),
        # Metal left on by more than the spread asks for nothing.
        (the_rule(), PassState(100.0, 20.0, 10.0, 0.0, True), 50.0 + 9.0),
    ],
)
def test_the_least_stock_takes_off_what_it_finds(rule: LeastStock, state: PassState, least_um: float) -> None:
    assert rule.least_mm(state, a_pass())[0] == pytest.approx(least_um / 1000.0)


def test_a_cut_must_reach_what_a_worn_edge_can_cut_and_a_stone_need_not() -> None:
    """A worn edge needs 30 + 10 µm where the least metal stands; a stone, which has no such bound, only Rz."""
    smooth = PassState(0.0, 1.0, 0.1, 0.0, True)
    stone = a_pass()
    edge = replace(stone, figures=replace(stone.figures, least_metal_um=30.0, least_metal_rise_um=10.0))
    assert the_rule().least_mm(smooth, edge)[0] == pytest.approx((40.0 + 3.0 + 9.0) / 1000.0)
    assert the_rule().least_mm(smooth, stone)[0] == pytest.approx((0.5 + 3.0 + 9.0) / 1000.0)


def test_a_cut_must_reach_below_what_the_one_before_has_torn() -> None:
    """Five Ra of 2 µm, where Rz counts three: 10 + 3 + 9 µm."""
    rough = PassState(0.0, 1.0, 2.0, 0.0, True)
    rule = replace(the_rule(), rules=StockRules(rz_per_ra=3.0))
    assert rule.least_mm(rough, a_pass())[0] == pytest.approx((10.0 + 3.0 + 9.0) / 1000.0)


def test_a_choice_of_cuts_by_hand() -> None:
    """The rough cut leaves 15 and √(100 + 900 u + 400); the finish cut is 71.9 - 15 + 6.5 + 3 deep: 0.07 mm."""
    rough, fine = a_pass(repeatability_um=20.0, rating_kw=3.5), finish()
    rule = the_rule(roughness={"limit": 1.6, "loss_at_limit": 1.0})
    choice = rule.choice([rough, fine], [rough, fine])
    sd = math.sqrt((100.0 + 900.0 * UNIFORM + 400.0) / 400.0 + 225.0 * UNIFORM + 1.0)
    ra_sd = math.sqrt(0.3**2 * UNIFORM * 1.01 + 0.115**2)
    row = choice.row
    assert (row["cuts"], row["which"], row["depths_mm"]) == (2, "rough, finish", "1.93, 0.07")
    assert (row["mean_um"], row["sd_um"], row["ra_um"]) == pytest.approx((8.25, sd, 1.15))
    assert (row["cp"], row["cpk"]) == pytest.approx((60.0 / (6.0 * sd), 21.75 / (3.0 * sd)))
    assert row["ra_cpk"] == choice.cpk == pytest.approx(0.45 / (3.0 * ra_sd))
    assert choice.lacks == "power: rough takes 3.9 kW of 3.5 kW; roughness: Cpk 1.04"


def test_the_first_cut_needs_its_stock() -> None:
    """The casting asks for 125 + 300 + 300 + 9 µm; there are 0.5 mm less the 6.5 + 41 - 15 + 3 µm of the finish cut."""
    rough, fine = a_pass(), finish()
    choice = the_rule(total_mm=0.5, wanted=0.5).choice([rough, fine], [rough, fine])
    assert choice.lacks == "stock: the first cut needs 0.73 mm, 0.46 mm are left"


def test_the_table_shows_what_each_cut_finds_and_leaves() -> None:
    first, second = the_rule().table([a_pass(), MovePass("Op 20", 5.0), finish(depth_mm=0.1)]).to_dict("records")
    variance = 100.0 + 900.0 * UNIFORM + 9.0
    assert [first[name] for name in ("rz_um", "damaged_um", "form_um", "set_up_um", "scratch_um")] == pytest.approx(
        [125.0, 300.0, 300.0, 9.0, 0.0]
    )
    assert (first["mean_um"], first["sd_um"], first["ra_um"]) == pytest.approx((15.0, math.sqrt(variance), 1.3))
    assert (second["form_um"], second["set_up_um"]) == pytest.approx((3.0 * math.sqrt(variance + 25.0) - 15.0, 3.0))
    assert (second["depth_mm"], second["copying_percent"], second["power_kw"]) == pytest.approx((0.1, 10.0, 2.0))


def test_the_best_of_so_many_cuts_lacks_nothing_before_it_is_capable() -> None:
    cuts = [a_pass("one"), a_pass("two"), a_pass("three")]
    assert [[cut.name for cut in chosen] for chosen in choices_of(cuts)] == [
        ["one"], ["two"], ["three"], ["one", "two"], ["one", "three"], ["two", "three"], ["one", "two", "three"],
    ]  # fmt: skip
    rule = the_rule(wanted=0.3)
    heavy = a_pass("heavy", rating_kw=1.0, repeatability_um=0.0)
    plain, worse = a_pass("plain"), a_pass("worse", repeatability_um=6.0)
    choices = [rule.choice([heavy, plain, worse], [cut]) for cut in (worse, heavy, plain)]
    best = best_of(choices, 1)
    assert best is not None
    assert best.row["which"] == "plain"
    assert best_of(choices, 2) is None


def test_the_bend_of_the_clamps_is_part_of_the_set_up() -> None:
    """Rz 5 x 4, form 3 x 20 less the 10 left on, set-up 9 and a bend of 12 at right angles: 15."""
    least_mm, terms = the_rule().least_mm(CUT_BEFORE, a_pass(bent_um=12.0))
    assert terms["set_up_um"] == pytest.approx(15.0)
    assert least_mm == pytest.approx((20.0 + 50.0 + 15.0) / 1000.0)
