"""Tests of parts, repairs and failures in the field, against values worked out by hand from what the parts are."""

from __future__ import annotations

from statistics import NormalDist
from typing import Any

import pytest

from linesim.chance import Purpose, uniforms
from linesim.ledger.ledger import ledger_rows
from linesim.ledger.sums import total_minor_units
from linesim.plan.build import make_plan
from linesim.plan.tally import Cause
from linesim.works import Works
from tests.agree.twins import assert_twins_agree
from tests.floors import a_blade, a_cut, a_shop, run_shop

SEED = 1
FACE = {"size": {"limits": [99.96, 100.04]}, "roughness": {"limit": 2.0}, "as_cast": {"spread": "40 um", "stock": 2.0}}
WEIGHTS = {"face": {"size": 0.7, "roughness": 0.3}}
BENCH = {"minutes": 4, "cost": 3, "succeeds": 1.0}


def shop(test: dict[str, Any], *, later: dict[str, Any] | None = None, before: str = "", **line: Any) -> Works:
    """Two hundred castings, cut once, brushed, and tested; a cut leaves half of the unevenness."""
    operations: dict[str, Any] = {
        "Op 10": {"strokes": {"stroke": {"cuts": {"cut": a_cut(copying=0.5, roughness_cv=0.3)}}}, "buffer": 1},
        "Op 20": {"minutes": 1, "buffer": 5},
        "Op 30": {"minutes": 2, "buffer": 5, "test": test},
    }
    if before:
        operations[before]["test"] = test
    content = {"features": {"face": FACE}, "later": later or {}, "casting": {"price": 140}, **line}
    cutters = {"blade": a_blade(life=1e9, sharp_roughness=1.0)}
    return a_shop(operations, line=content, cutters=cutters, castings=200, length=20_000.0)


def deviations(works: Works) -> list[float]:
    """Weighted deviation of each part as it comes to the test."""
    seen = run_shop(works)
    values = seen.values["complete", "Op 20"].values()
    return [0.7 * abs(each.error_um[0]) / 40.0 + 0.3 * each.roughness_um[0] / 2.0 for each in values]


def chance(deviation: float, at_limit: float, at_twice: float, floor: float) -> float:
    """A straight line in probits through the anchors at 1 and 2, and the floor."""
    normal = NormalDist()
    first, second = normal.inv_cdf(at_limit), normal.inv_cdf(at_twice)
    return 1.0 - (1.0 - floor) * (1.0 - normal.cdf(first + (second - first) * (deviation - 1.0)))


def draws(works: Works) -> list[float]:
    """The one draw of each part for the first cause of the first line."""
    del works
    return [uniforms(SEED, 0, int(Purpose.STRENGTH), 0, serial, 0)[0] for serial in range(200)]


def test_a_test_turns_down_by_its_anchors_and_the_parts_draw() -> None:
    anchors = {"at_limit": 0.2, "at_twice": 0.8, "floor": 0.05}
    works = shop({"weights": WEIGHTS, **anchors})
    plan = make_plan(works, works.todays_policy)
    tally = assert_twins_agree(plan, SEED)
    expected = [u < chance(d, 0.2, 0.8, 0.05) for d, u in zip(deviations(works), draws(works), strict=True)]
    assert 10 < sum(expected) < 190
    assert tally.scrapped[2, Cause.TEST] == sum(expected) == tally.given_up.sum()
    assert (tally.tested.tolist(), tally.shipped.tolist()) == ([200], [200 - sum(expected)])
    others = sum(u < 0.05 for u in draws(works))
    assert others > 2
    assert tally.turned_down[2] == others
    assert tally.turned_down[0] + tally.turned_down[1] == sum(expected) - others


def test_what_passed_a_hard_test_is_not_failed_by_an_easier_one() -> None:
    hard, easy = {"at_limit": 0.3, "at_twice": 0.8}, {"at_limit": 0.2, "at_twice": 0.7}
    works = shop({"weights": WEIGHTS, **easy})
    operations = works.lines["line"].operations
    first = operations["Op 20"].model_copy(update={"test": operations["Op 30"].test.model_copy(update=hard)})  # type: ignore[union-attr]
    line = works.lines["line"].model_copy(update={"operations": operations | {"Op 20": first}})
    both = works.model_copy(update={"lines": {"line": line}})
    tally = assert_twins_agree(make_plan(both, both.todays_policy), SEED)
    assert tally.turned_down[:3].sum() > 10
    assert tally.turned_down[3:].sum() == 0
    alone = assert_twins_agree(make_plan(works, works.todays_policy), SEED)
    assert alone.turned_down.sum() > 5


def test_repaired_parts_go_back_to_the_test_and_pass() -> None:
    works = shop({"weights": WEIGHTS, "at_limit": 0.4, "at_twice": 0.8, "rejected": {"repair": BENCH}})
    plan = make_plan(works, works.todays_policy)
    tally = assert_twins_agree(plan, SEED)
    down = sum(u < chance(d, 0.4, 0.8, 0.0) for d, u in zip(deviations(works), draws(works), strict=True))
    assert down > 10  # of two hundred
    assert (tally.repairs.sum(), tally.repair_min[0], tally.given_up.sum()) == (down, 4.0 * down, 0)
    assert (tally.shipped[0], tally.shipped_first_pass[0]) == (200, 200 - down)
    assert tally.recut[2, Cause.TEST] == down
    assert tally.tested[0] == 200 + down
    rows = ledger_rows(works, plan, tally)
    own = rows[rows["item"] == "repairs of parts"]
    assert total_minor_units(own) == 300 * down
    assert set(own["operation"]) == {"Op 10"}
    assert set(own["cause"]) == {"leak"}
    assert set(own["what"]) == {"Op 30: face, size", "Op 30: face, roughness"}


def test_a_repair_that_fails_is_tried_again_and_then_given_up() -> None:
    bench = BENCH | {"succeeds": 1e-9, "tries": 3}
    works = shop({"floor": 0.2, "rejected": {"repair": bench}})
    tally = assert_twins_agree(make_plan(works, works.todays_policy), SEED)
    down = sum(u < chance(0.0, 0.05, 0.5, 0.2) for u in draws(works))
    assert (tally.repairs.sum(), tally.given_up.sum()) == (3 * down, down)
    assert tally.turned_down.sum() == 4 * down
    assert tally.scrapped[2, Cause.TEST] == down > 20


def test_a_part_that_goes_back_is_worked_on_again_as_a_recut() -> None:
    """What an earlier operation does again is charged to recuts; its minutes are not drawn as new work."""
    works = shop({"floor": 0.2, "rejected": {"repair": BENCH | {"back_to": "Op 20"}}})
    tally = assert_twins_agree(make_plan(works, works.todays_policy), SEED)
    down = int(tally.repairs.sum())
    assert down > 20
    assert (tally.worked[1], tally.worked[2]) == (200 + down, 200 + down)
    assert tally.recut_min.tolist() == [0.0, 1.0 * down, 2.0 * down]


def test_field_failures_are_the_expected_ones_of_what_is_shipped() -> None:
    claim = {"weights": WEIGHTS, "at_limit": 0.01, "at_twice": 0.3, "floor": 0.002, "cost": 1500}
    works = shop({"at_limit": 1e-9, "at_twice": 0.5}, later={"field": {"claim": claim}})
    plan = make_plan(works, works.todays_policy)
    tally = assert_twins_agree(plan, SEED)
    expected = sum(chance(d, 0.01, 0.3, 0.002) for d in deviations(works))
    assert tally.shipped[0] == 200
    assert tally.field_chance.sum() == pytest.approx(expected)
    assert tally.field_chance[-1] == pytest.approx(0.4)
    rows = ledger_rows(works, plan, tally)
    own = rows[rows["item"] == "field failures"]
    assert total_minor_units(own) == pytest.approx(150_000.0 * expected, abs=2.0)


@pytest.mark.parametrize(("said", "given_up"), [("full", 0.0), ("nothing", 400.0), (320, 80.0)])
def test_parts_out_of_the_drawing_are_worth_what_the_scenario_says(said: str | float, given_up: float) -> None:
    works = shop({"at_limit": 1e-9, "at_twice": 0.5}, worth=400, worth_out_of_drawing=said)
    plan = make_plan(works, works.todays_policy)
    tally = assert_twins_agree(plan, SEED)
    assert tally.parts_out[0] > 5
    rows = ledger_rows(works, plan, tally)
    own = total_minor_units(rows[rows["item"] == "out of drawing"])
    assert own == 100 * given_up * tally.parts_out[0]
