"""How true a part lies: chips, datums, fixtures, clamps and warmth; each figure worked by hand."""

from __future__ import annotations

import math
from typing import Any

import pytest

from linesim.cutting.component import Component
from linesim.plan.tally import Cause
from linesim.result.datums import worse_datums
from tests.floors import Seen, Values, a_blade, a_cut, a_shop, run_shop

CHIP = {"located_on": "bottom", "thickness": 40.0, "thickness_cv": 0.0, "scratch": 0.0, "chance": 1.0}
BORE = {
    "kind": "bore", "diameter": 80.0, "length": 165.0, "height": 240.0, "position": {"limit": 50.0},
    "squareness": {"limit": 50.0}, "form": {"limit": 20.0},
}  # fmt: skip
FACE = {"size": {"limits": [239.0, 241.0]}, "parallelism": {"limit": 100.0}, "form": {"limit": 50.0}, "length": 430.0}


def cuts(feature: str, *, own_form: float = 0.0, **entries: Any) -> dict[str, Any]:
    """An operation that cuts one feature on pads 300 mm apart on the bottom; the cut adds no position or form."""
    leaves = {"own_position": 0.0, "own_form": own_form, **entries.pop("leaves", {})}
    cut = {name: entries.pop(name) for name in ("copying", "process", "depth") if name in entries}
    return {
        "strokes": {"stroke": {"cuts": {"cut": a_cut(feature=feature, leaves=leaves, **cut)}}},
        "locating": {"on": "bottom", "pads": 300.0},
        **entries,
    }


def shop(operations: dict[str, Any], features: dict[str, Any], castings: int = 1, **works: Any) -> Seen:
    line = {"features": features | {"bottom": features.get("bottom", {"length": 600.0})}}
    blade = {"blade": a_blade(life=1e9, sets=20)}
    return run_shop(a_shop(operations, line=line, cutters=blade, castings=castings, length=5_000.0, **works))


def after(seen: Seen, operation: str, part: int = 0) -> Values:
    return seen.of_parts("complete", operation)[part]


def test_a_chip_tilts_a_bore_and_leaves_its_size() -> None:
    """40 µm under a pad, pads 300 apart: 22 over a bore of 165, 32 aside at 240 (facts of three-pad locating)."""
    values = after(shop({"Op 10": cuts("bore", chips=CHIP)}, {"bore": BORE}), "Op 10")
    assert values.error_um[0] == pytest.approx(0.0, abs=1e-4)
    assert values.tilt_um[0] == pytest.approx(22.0)
    assert values.position_um[0] == pytest.approx(32.0)


def test_a_chip_lifts_a_face_by_a_third_and_tilts_it() -> None:
    values = after(shop({"Op 10": cuts("face", chips=CHIP)}, {"face": FACE}), "Op 10")
    assert values.error_um[0] == pytest.approx(-13.3333, abs=1e-3)
    assert values.tilt_um[0] == pytest.approx(57.3333, abs=1e-3)


def test_no_later_cut_makes_a_chip_good_but_by_its_copying_factor() -> None:
    """A reamer keeps the whole tilt, a second blade that copies 3 % leaves 0.66 of 22 µm."""
    reamed = {"Op 10": cuts("bore", chips=CHIP), "Op 20": cuts("bore", process="reaming", depth=0.1)}
    assert after(shop(reamed, {"bore": BORE}), "Op 20").tilt_um[0] == pytest.approx(22.0)
    bored = {"Op 10": cuts("bore", chips=CHIP), "Op 20": cuts("bore", copying=0.03)}
    assert after(shop(bored, {"bore": BORE}), "Op 20").tilt_um[0] == pytest.approx(0.66)


@pytest.mark.parametrize(("shares", "form"), [((0.03, 0.01), 0.0054), ((0.03,), 0.54)])
def test_only_boring_takes_out_a_core_shift(shares: tuple[float, ...], form: float) -> None:
    """300 µm of form as cast and a core shift; boring leaves its shares, reamer and hone 0.4 and 0.15 of form alone."""
    route = {f"Op {at}0": cuts("bore", copying=share) for at, share in enumerate(shares, 1)}
    route["Op 80"] = cuts("bore", process="reaming", depth=0.1)
    route["Op 90"] = cuts("bore", leaves={"position": 1, "tilt": 1, "form": 0.15}, depth=0.02)
    cast = {"position": 500.0, "tilt": 200.0, "form": 300.0}
    seen = shop(route, {"bore": BORE | {"as_cast": cast}})
    first, last = seen.of_parts("loaded", "Op 10")[0], after(seen, "Op 90")
    assert abs(first.position_um[0]) > 10.0
    left = math.prod(shares)
    assert last.position_um[0] == pytest.approx(left * first.position_um[0])
    assert last.tilt_um[0] == pytest.approx(left * first.tilt_um[0])
    assert last.form_um[0] == pytest.approx(form)


def test_each_clamped_cut_springs_back_however_many_there_are() -> None:
    """8 kN on 800 N/µm bend by 10 µm; a reamer's lobes of 3 come on top, and only a lighter clamp lowers it."""
    clamped = {"clamping": {"force": "8 kN", "stiffness": 800.0}}
    route = {"Op 10": cuts("bore", **clamped), "Op 20": cuts("bore", own_form=3.0, **clamped)}
    seen = shop(route | {"Op 30": cuts("bore", clamping={"bends": 2.0})}, {"bore": BORE})
    assert after(seen, "Op 10").form_um[0] == pytest.approx(10.0)
    assert after(seen, "Op 20").form_um[0] == pytest.approx(math.hypot(10.0, 3.0))
    assert after(seen, "Op 30").form_um[0] == pytest.approx(2.0)


def test_a_datum_passes_its_tilt_form_and_scratch_on() -> None:
    """A bottom of 600 mm tilted by 60 and out of flat by 40: a bore of 165 tilts by 16.5 and stands 24 aside."""
    bottom = {"length": 600.0, "parallelism": {"limit": 100.0}, "as_cast": {"form": 40.0}}
    seen = shop({"Op 10": cuts("bore")}, {"bore": BORE, "bottom": bottom | {"as_cast": {"form": 40.0, "tilt": 60.0}}})
    tilt_um = seen.of_parts("loaded", "Op 10")[0].tilt_um[1]
    values = after(seen, "Op 10")
    assert abs(tilt_um) > 1.0
    assert values.tilt_um[0] == pytest.approx(tilt_um * 165.0 / 600.0)
    assert values.position_um[0] == pytest.approx(tilt_um * 240.0 / 600.0)
    assert values.form_um[0] == pytest.approx(40.0 * (165.0 / 600.0) ** 2)


def test_the_burr_of_a_scratch_lifts_the_next_operation() -> None:
    """A chip in the first operation scratches the bottom by 30 µm; the second has no chip and tilts by 30 x 165/300."""
    scratches = CHIP | {"scratch": 30.0, "scratch_cv": 0.0}
    route = {"Op 10": cuts("face", chips=scratches), "Op 20": cuts("bore")}
    values = after(shop(route, {"face": FACE, "bore": BORE}), "Op 20")
    assert values.tilt_um[1] == pytest.approx(16.5)


def test_castings_take_the_fixtures_in_turn() -> None:
    """Measured: the second holds 8 µm aside and 6 over the pads, so 8 + 4.8 at a height of 240."""
    fixtures = {"measured": [{}, {"position": 8.0, "tilt": 6.0}]}
    seen = shop({"Op 10": cuts("bore", fixtures=fixtures)}, {"bore": BORE}, castings=4)
    position = [values.position_um[0] for values in seen.of_parts("complete", "Op 10")]
    assert position == pytest.approx([0.0, 12.8, 0.0, 12.8])


def test_drawn_fixtures_keep_their_error_for_the_run_and_pallets_keep_it_along_the_line() -> None:
    drawn = {"count": 3, "position": 5.0}
    seen = shop({"Op 10": cuts("bore", fixtures=drawn)}, {"bore": BORE}, castings=6)
    position = [values.position_um[0] for values in seen.of_parts("complete", "Op 10")]
    assert position[:3] == position[3:]
    assert len(set(position)) == 3
    pallets = {"count": "pallets", "position": 5.0}
    operations = {"Op 10": cuts("face", fixtures=pallets), "Op 20": cuts("other", fixtures=pallets)}
    line = {"features": {"face": FACE, "other": FACE, "bottom": {}}, "pallets": 2}
    seen = run_shop(
        a_shop(operations, line=line, cutters={"blade": a_blade(life=1e9, sets=20)}, castings=2, length=100.0)
    )
    for values in seen.of_parts("complete", "Op 20"):
        assert values.error_um[0] == pytest.approx(values.error_um[1])


def test_stress_let_go_bows_the_face_in_place_of_moving_its_size() -> None:
    """3 mm off a head 95 high and 430 long: 12.572 µm on the average, sd 40 %, over 900 parts to 4 standard errors."""
    face = FACE | {"thickness": 95.0, "as_cast": {"stock": 3.0}}
    operation = cuts("face", depth=3.0)
    operation["strokes"]["stroke"]["cuts"]["cut"]["stress_release"] = 5.0
    seen = shop({"Op 10": operation}, {"face": face}, castings=900)
    form = [values.form_um[0] for values in seen.of_parts("complete", "Op 10")]
    mean = sum(form) / 900
    assert abs(mean - 12.572) <= 4.0 * 0.4 * 12.572 / 30.0
    assert [values.error_um[0] for values in seen.of_parts("complete", "Op 10")] == pytest.approx([0.0] * 900, abs=1e-3)


def test_a_machine_warms_while_it_runs_and_begins_cold_after_a_night() -> None:
    """Set warm, it cuts 30 µm too little when cold; each minute of cutting brings 1 - exp(-1/60) of what is missing."""
    warm = {"rise": 30.0, "minutes": 60.0, "cools": 90.0, "set_warm": 1.0, "cold": "every day"}
    operation = cuts("face", warm_up=warm, load=1.0)
    calendar = {"shift": 10.0, "shifts_per_day": 1}
    errors = shop({"Op 10": operation}, {"face": FACE}, castings=6, calendar=calendar).errors("Op 10")
    grown = 1.0 - math.exp(-1.0 / 60.0)
    cooled = grown * math.exp(-1.0 / 90.0)
    assert errors[0] == pytest.approx(30.0, abs=1e-4)
    assert errors[1] == pytest.approx(30.0 * (1.0 - cooled), abs=1e-4)
    assert errors[5] == pytest.approx(30.0, abs=1e-4)  # begun at minute 11, on the second day


def test_a_part_cut_in_a_warm_room_is_too_small_when_it_is_measured() -> None:
    """3 K too cold when the day begins: a face at 240 mm stands 240 x 10.8 x 3 / 1000 = 7.776 µm too high."""
    seen = shop({"Op 10": cuts("face")}, {"face": FACE}, room={"swing": 3.0})
    assert seen.errors("Op 10")[0] == pytest.approx(7.776, abs=1e-3)


def test_a_tilted_spindle_leaves_a_hollow() -> None:
    """0.1 mm in a metre, a mill of 250 over 200: 5 µm."""
    mill = a_blade(life=1e9, diameter=250.0, teeth=12, grade="plain")
    cut = a_cut("mill", process="milling", width=200.0, length=430.0, feed=0.1, speed=100.0)
    operation = {"strokes": {"stroke": {"cuts": {"cut": cut}}}, "spindle_tilt": "0.1 mm/m"}
    line = {"features": {"face": FACE}}
    seen = run_shop(a_shop({"Op 10": operation}, line=line, cutters={"mill": mill}, castings=1))
    assert after(seen, "Op 10").form_um[0] == pytest.approx(5.0)


def test_a_gauge_turns_down_what_is_tilted_and_says_so() -> None:
    """A chip tilts each bore by 22 µm: over a limit of 20, within one of 50; a gauge of position sees nothing of it."""
    gauge = {"feature": "bore", "reads": ["tilt"]}
    tight = BORE | {"squareness": {"limit": 20.0}}
    bored = cuts("bore", chips=CHIP, gauges={"square": gauge})
    seen = shop({"Op 10": bored}, {"bore": tight}, castings=3)
    assert seen.tally.scrapped[0, Cause.TILTED] == 3
    assert seen.tally.judged[0].tolist() == [[0, 0], [0, 3]]
    assert shop({"Op 10": bored}, {"bore": BORE}, castings=3).tally.shipped[0] == 3
    sized = cuts("bore", chips=CHIP, gauges={"size": gauge | {"reads": ["position", "form"]}})
    assert shop({"Op 10": sized}, {"bore": tight}, castings=3).tally.shipped[0] == 3


def test_what_is_off_its_place_costs_by_its_square_and_is_out_of_the_drawing() -> None:
    """32 µm aside against 25 allowed: three squares of 32, three places over the limit, three parts out."""
    feature = BORE | {"position": {"limit": 25.0, "loss_at_limit": 10.0}}
    tally = shop({"Op 10": cuts("bore", chips=CHIP)}, {"bore": feature}, castings=3).tally
    assert tally.capped[0, Component.POSITION] == pytest.approx(3 * 32.0**2)
    assert tally.above[0, Component.POSITION] == 3
    assert tally.parts_out[0] == 3


def test_a_datum_worse_than_what_is_located_on_it_is_said() -> None:
    """A bottom of 600 mm whose tilt is 200 µm on the average brings 3 x 200 x 165 / 600 = 165 µm into a limit of 50."""
    bottom = {"length": 600.0, "as_cast": {"tilt": 200.0}}
    seen = shop({"Op 10": cuts("bore")}, {"bore": BORE, "bottom": bottom}, castings=50)
    (said,) = worse_datums(seen.plan, seen.tally)
    assert said.startswith('Op 10 locates "bore" on "bottom", whose own tilt brings ')
    assert "the drawing allows 50 µm" in said
    true = shop({"Op 10": cuts("bore")}, {"bore": BORE, "bottom": bottom | {"as_cast": {"tilt": 5.0}}}, castings=50)
    assert list(worse_datums(true.plan, true.tally)) == []


def test_what_follows_the_hole_does_not_mind_how_the_part_sits() -> None:
    """A chip and a fixture under a part that is only reamed: the hole stays where it was, and as square."""
    seat = {"chips": CHIP, "fixtures": {"measured": [{"position": 8.0}]}}
    values = after(shop({"Op 10": cuts("bore", process="reaming", depth=0.1, **seat)}, {"bore": BORE}), "Op 10")
    assert values.position_um[0] == 0.0
    assert values.tilt_um[0] == 0.0
