"""Hidden faults, gauges that wander off and who is to blame: floors worked out by hand."""

from __future__ import annotations

import math
from typing import Any

import pytest

from linesim.cutting.blame import strongest_term
from linesim.errors import ScenarioError
from linesim.fast.run import run_fast
from linesim.floor.run import run_floor
from linesim.ledger import ledger_rows
from linesim.plan.build import make_plan
from linesim.plan.tally import Cause, State
from linesim.study import run
from linesim.works import Works
from tests.floors import Seen, a_blade, a_cut, a_shop, run_shop

FACE = {"face": {"size": {"limits": [99.98, 100.02]}}}
"""Plus and minus 20 µm."""


def bad(**entries: Any) -> dict[str, Any]:
    return {"chance": 1.0, "shift": 25.0, "minutes": 5.0, **entries}


def shop(turns_bad: dict[str, Any] | None, length: float, gauge: dict[str, Any], **more: Any) -> Works:
    """One cut of a minute, and a gauge that takes no time."""
    cut = {"strokes": {"stroke": {"cuts": {"cut": a_cut(**more.pop("cut", {}))}}}, **more.pop("operation", {})}
    if turns_bad is not None:
        cut["turns_bad"] = turns_bad
    gauges = {"gauge": {"feature": "face", "tries": 0, **gauge}}
    blades = {"blade": a_blade(life=1e9)}
    return a_shop({"Op 10": cut | {"gauges": gauges}}, line={"features": FACE}, cutters=blades, length=length, **more)


# --- hidden faults ------------------------------------------------------------------------------------------------


def test_a_machine_is_bad_from_a_part_on_until_a_gauge_turns_one_down() -> None:
    """Bad at once; one part in three is gauged: the third, at 3.0, finds it, and it is set right until 8.0."""
    seen = run_shop(shop(bad(), 7.9, {"every": 3}))
    assert seen.moments["scrapped", "Op 10"] == {("line", 2): 3.0}
    assert seen.errors("Op 10") == pytest.approx([25.0, 25.0], abs=1e-3)
    assert seen.spans_in("Op 10", State.SETTING_RIGHT) == [(3.0, 7.9)]
    tally = seen.tally
    assert (tally.turned_bad[0], tally.faults_found[0], tally.found_by[0, 0], tally.made_bad[0]) == (1, 1, 1, 3)
    assert tally.unfound_min[0] == pytest.approx(3.0)
    assert (tally.bad_shipped[0], tally.bad_shipped_out[0]) == (2, 2)


def test_it_is_set_right_by_a_setter_who_is_paid_for_it() -> None:
    people = {"setters": {"count": 1, "rate": 60.0}}
    works = shop(bad(), 6.0, {}, people=people, operation={"setters": "setters"})
    seen = run_shop(works)
    assert seen.spans_in("Op 10", State.SETTING_RIGHT) == [(1.0, 6.0)]
    rows = ledger_rows(works, make_plan(works, "as stated"), seen.tally)
    assert rows.loc[rows["item"] == "setters", "minor_units"].tolist() == [500]


def test_the_fault_of_an_earlier_spell_finds_no_later_one() -> None:
    """A conveyor of ten minutes between cut and gauge: of the parts on it only the first finds anything."""
    cut = {"strokes": {"stroke": {"cuts": {"cut": a_cut()}}}, "turns_bad": bad(minutes=2.0)}
    gauge = {"gauge": {"feature": "face", "tries": 0}}
    operations = {
        "Op 10": cut,
        "Op 20": {"minutes": 10, "machines": 10, "buffer": "unlimited"},
        "Op 30": {"minutes": 0.5, "buffer": "unlimited", "gauges": gauge},
    }
    seen = run_shop(a_shop(operations, line={"features": FACE}, cutters={"blade": a_blade(life=1e9)}, length=25.0))
    # The first part is read at 11.5, in the middle of the twelfth; set right from 12 to 14; the next is read at 25.5.
    assert seen.spans_in("Op 10", State.SETTING_RIGHT) == [(12.0, 14.0)]
    assert seen.tally.faults_found.sum() == 1
    assert seen.tally.turned_bad[0] == 2


def test_a_fault_scatters_from_part_to_part_and_not_from_place_to_place() -> None:
    features = {"face": {"places": 2, "size": {"limits": [99.9, 100.1]}}}
    cut = {"strokes": {"stroke": {"cuts": {"cut": a_cut()}}}, "turns_bad": bad(shift=0.0, scatter=30.0)}
    works = a_shop({"Op 10": cut}, line={"features": features}, cutters={"blade": a_blade(life=1e9)}, length=1000.0)
    errors = [values.error_um for values in run_shop(works).of_parts("complete", "Op 10")]
    assert all(first == pytest.approx(second, abs=1e-4) for first, second in errors)
    spread = math.sqrt(sum(first * first for first, _ in errors) / len(errors))
    assert spread == pytest.approx(30.0, rel=0.12)  # five standard errors of a thousand parts


def test_a_fault_that_does_nothing_is_refused() -> None:
    with pytest.raises(ScenarioError, match="shifts, scatters or tilts what it makes"):
        shop({"chance": 0.1}, 10.0, {})


# --- who is to blame --------------------------------------------------------------------------------------------------


def two_cuts(second: dict[str, Any], rule: Any = "run out") -> Seen:
    """A blade that has drawn back by 30 µm after 30 parts, and a second cut that leaves nine tenths of that."""
    cuts = {
        "rough": {"cuts": {"rough cut": a_cut("blade")}},
        "ream": {"cuts": {"ream cut": a_cut("reamer", copying=0.9, **second)}},
    }
    operation = {"strokes": cuts, "gauges": {"gauge": {"feature": "face", "tries": 0}}}
    cutters = {"blade": a_blade(life=30.0), "reamer": a_blade(life=1e9)}
    works = a_shop({"Op 10": operation}, line={"features": FACE}, cutters=cutters, rule=rule, length=200.0)
    return run_shop(works)


def test_run_out_changes_the_cutter_that_put_the_part_past_its_limit() -> None:
    """27 µm copied down is too much from part 24 on; the blade is changed, not the reamer that cut last."""
    seen = two_cuts({})
    assert seen.changes
    assert {change.cutter for change in seen.changes} == {"blade"}
    assert seen.tally.charged[0].tolist() == [seen.tally.scrapped[0, Cause.METAL_LEFT], 0, 0, 0]


def test_of_terms_to_either_side_the_one_to_the_side_of_the_error_is_to_blame() -> None:
    assert strongest_term(0, 20.0, 1, -30.0, 5, 0.0, 1.0) == (0, 20.0)
    assert strongest_term(0, 0.0, 1, -30.0, 5, 0.0, -1.0) == (1, -30.0)
    assert strongest_term(0, 20.0, 1, 8.0, 5, 25.0, 1.0) == (5, 25.0)


def test_where_the_casting_is_to_blame_the_last_cutter_is_changed() -> None:
    features = {"face": {"size": {"limits": [99.98, 100.02]}, "as_cast": {"spread": 200.0}}}
    cut = {"strokes": {"stroke": {"cuts": {"cut": a_cut(copying=0.5)}}}}
    gauges = {"gauges": {"gauge": {"feature": "face", "tries": 0}}}
    works = a_shop({"Op 10": cut | gauges}, line={"features": features}, cutters={"blade": a_blade()}, length=50.0)
    seen = run_shop(works)
    turned_down = int(seen.tally.scrapped.sum())
    assert turned_down > 10
    assert seen.tally.charged[0].tolist() == [0, 0, turned_down]
    assert len(seen.changes) == pytest.approx(turned_down, abs=1)


# --- gauges that wander off -------------------------------------------------------------------------------------------


def test_a_gauge_drifts_until_it_is_mastered() -> None:
    """59 µm an hour: from minute 21 on it turns down good parts; mastered every ten parts it never does."""
    drift = {"per_hour": 59.0}
    free = run_shop(shop(None, 30.5, {"drift": drift, "reject": "pass"})).tally
    assert free.judged[0].tolist() == [[20, 10], [0, 0]]
    held = run_shop(shop(None, 30.5, {"drift": drift | {"mastered": {"every": 10}}, "reject": "pass"})).tally
    assert held.judged[0].tolist() == [[30, 0], [0, 0]]
    assert held.masterings.tolist() == [2]


def test_mastering_takes_minutes_of_gauging() -> None:
    drift = {"per_hour": 0.0, "mastered": {"every": 4, "minutes": 3.0}}
    seen = run_shop(shop(None, 20.0, {"drift": drift}))
    assert seen.when("left", "Op 10")[:6] == [1.0, 2.0, 3.0, 4.0, 8.0, 9.0]
    assert seen.spans_in("Op 10", State.GAUGING)[0] == (5.0, 8.0)


def test_a_bias_is_as_the_drawing_reads_it() -> None:
    """A bore that reads 6 µm larger has 3 µm less metal left on per side; a face that reads larger has more."""
    bore = {"kind": "bore", "diameter": 80.0, "size": {"limits": [79.98, 80.02]}}
    cut = {"strokes": {"stroke": {"cuts": {"cut": a_cut()}}}, "gauges": {"gauge": {"feature": "face", "bias": 6.0}}}
    for feature, want in ((bore, -3.0), (FACE["face"], 6.0)):
        blades = {"blade": a_blade(life=1e9)}
        works = a_shop({"Op 10": cut}, line={"features": {"face": feature}}, cutters=blades, length=10.0)
        assert make_plan(works, "as stated").gauges.bias_um.tolist() == pytest.approx([want])


def test_both_engines_do_all_of_it_alike() -> None:
    gauge = {
        "every": 3,
        "error": 3.0,
        "bias": 2.0,
        "drift": {"per_hour": 4.0, "mastered": {"every": 7, "minutes": 1.5}},
    }
    works = shop(bad(chance=0.05, scatter=8.0), 900.0, gauge, cut={"repeatability": 5.0})
    plan = make_plan(works, "as stated")
    one, other = run_floor(plan, 3, 0), run_fast(plan, 3, 0)
    assert one.faults_found[0] > 5
    assert one.masterings[0] > 5
    for name in ("made_bad", "unfound_min", "charged", "judged", "state_min", "bad_shipped_out", "found_by"):
        assert getattr(one, name).tolist() == getattr(other, name).tolist()


# --- what a result says of it -----------------------------------------------------------------------------------------


def test_a_result_says_what_turned_bad_and_what_was_shipped() -> None:
    """As in the first test: three parts were made bad in three minutes, two of them shipped, both out."""
    result = run(shop(bad(), 7.9, {"every": 3}), engine="simpy")
    (row,) = result.faults.to_dict(orient="records")
    assert (row["turned_bad"], row["detected"], row["made_bad"]) == (1, 1, 3)
    assert (row["mean_min_to_find"], row["shipped_bad"], row["shipped_bad_out"]) == (pytest.approx(3.0), 2, 2)
    text = '"Op 10 (bore face)" turned bad once unseen, and was found out after 3 minutes on average: 3 parts were cut '
    assert (
        text + "meanwhile, of those shipped 2 of 2 out of the drawing. Gauge more of its parts, or gauge them sooner."
        in [each.text for each in result.findings]
    )


def test_a_result_says_what_was_charged_to_whom() -> None:
    result = run(shop(bad(), 7.9, {"every": 3}), engine="simpy")
    assert result.blame.to_numpy().tolist() == [["line", "Op 10", "gauge", "hidden fault", "Op 10", "", "", 1]]
    assert run(shop(None, 7.9, {}), engine="simpy").faults.empty


# --- a machine that tilts -------------------------------------------------------------------------------------------


def tilting(limit: float, fault: dict[str, Any], length: float = 7.9, reads: str = "tilt", **more: Any) -> Works:
    """A bore of 120 mm, 240 mm above pads 300 mm apart, one cut of a minute, and a gauge for each part."""
    bore = {
        "kind": "bore", "size": {"limits": [79.9, 80.1]}, "squareness": {"limit": limit},
        "position": {"limit": limit}, "length": 120.0, "height": 240.0,
    }  # fmt: skip
    operation = {
        "strokes": {"stroke": {"cuts": {"cut": a_cut(feature="bore")}}},
        "locating": {"on": "pad", "pads": 300.0},
        "turns_bad": {"chance": 1.0, "minutes": 5.0, **fault},
        "gauges": {"gauge": {"feature": "bore", "reads": [reads], "tries": 0}},
        **more,
    }
    features = {"bore": bore, "pad": {"length": 300.0}}
    return a_shop(
        {"Op 10": operation}, line={"features": features}, cutters={"blade": a_blade(life=1e9)}, length=length
    )


@pytest.mark.parametrize(("reads", "limit"), [("tilt", 29.0), ("position", 59.0)])
def test_a_gauge_that_turns_a_tilt_down_finds_the_machine_that_tilts(reads: str, limit: float) -> None:
    """75 µm over the pads: 75 x 120 / 300 = 30 µm over the bore, 75 x 240 / 300 = 60 µm aside."""
    seen = run_shop(tilting(limit, {"tilt": 75.0}, reads=reads))
    scrapped = seen.of_parts("scrapped", "Op 10")[0]
    assert (scrapped.tilt_um[0], scrapped.position_um[0]) == pytest.approx((30.0, 60.0))
    assert scrapped.error_um[0] == pytest.approx(0.0, abs=1e-9)
    assert seen.spans_in("Op 10", State.SETTING_RIGHT) == [(1.0, 6.0), (7.0, 7.9)]
    assert (seen.tally.faults_found[0], seen.tally.found_by[0]) == (2, 2)
    assert seen.tally.charged[0, len(seen.plan.cuts.slot)] == 2
    assert not seen.floor.machines[0].mounts[0].edge.was_rejected


def test_a_tilt_within_its_limit_goes_on_unseen() -> None:
    seen = run_shop(tilting(31.0, {"tilt": 75.0}))
    assert (seen.tally.made_bad[0], seen.tally.faults_found[0], seen.tally.bad_shipped[0]) == (8, 0, 7)


def test_a_machine_that_only_shifts_is_not_found_by_a_tilt() -> None:
    """A fixture out of square by as much is the last cutter's fault, as far as anybody can tell."""
    seen = run_shop(tilting(29.0, {"shift": 5.0}, fixtures={"measured": [{"tilt": 75.0}]}))
    assert seen.tally.faults_found[0] == 0
    assert seen.tally.scrapped[0, Cause.TILTED] > 1


def test_a_tilt_counts_over_pads_and_something_must_be_bad() -> None:
    with pytest.raises(ScenarioError, match="for the tilt of a bad machine, which counts over the pads"):
        tilting(29.0, {"tilt": 75.0}, locating=None)
    with pytest.raises(ScenarioError, match="shifts, scatters or tilts what it makes"):
        tilting(29.0, {})
