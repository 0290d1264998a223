"""Machines side by side that are not alike, and which of the free ones takes the next part; worked out by hand."""

from __future__ import annotations

from typing import Any

import pytest

from linesim.desk import desk_figures
from linesim.errors import ScenarioError
from linesim.ledger import Ledger
from linesim.plan.build import make_plan
from linesim.plan.tally import State
from linesim.works import Works
from tests.agree.twins import assert_twins_agree, different_fields
from tests.floors import Seen, a_blade, a_cut, a_shop, run_shop

FACE = {"face": {"size": {"limits": [99.98, 100.02]}}}


def a_cell(unlike: dict[str, Any], between: float = 3, length: float = 19.9, **entries: Any) -> Works:
    """Parts come one by one to machines that take four minutes."""
    cell = {"machines": len(unlike) or 2, "minutes": 4, "unlike": unlike, **entries}
    return a_shop({"cell": cell}, line={"casting": {"arrivals": {"between": between}}}, length=length)


def cell(unlike: dict[str, Any], between: float = 3, length: float = 19.9, **entries: Any) -> Seen:
    return run_shop(a_cell(unlike, between, length, **entries))


def test_each_takes_its_own_time() -> None:
    seen = cell({"new": {"time": 0.5}, "old": {"time": 1.75}}, between=1)
    assert seen.plan.names.machines == ("cell new", "cell old")
    assert seen.spans_in("cell new", State.CUTTING)[:3] == [(1.0, 3.0), (3.0, 5.0), (5.0, 7.0)]
    assert seen.spans_in("cell old", State.CUTTING)[:2] == [(2.0, 9.0), (9.0, 16.0)]


def test_the_one_that_has_been_free_longest_takes_the_next_part_or_the_first_one_does() -> None:
    own: dict[str, Any] = {"new": {"time": 0.5}, "old": {}}
    turns = cell(own)
    assert turns.spans_in("cell new", State.CUTTING) == [(3.0, 5.0), (9.0, 11.0), (15.0, 17.0)]
    assert turns.spans_in("cell old", State.CUTTING) == [(6.0, 10.0), (12.0, 16.0), (18.0, 19.9)]
    first = cell(own, next_machine="first named")
    assert first.spans_in("cell new", State.CUTTING)[:3] == [(3.0, 5.0), (6.0, 8.0), (9.0, 11.0)]
    assert first.spans_in("cell old", State.CUTTING) == []
    # The second one helps out while the first is busy, and steps back again.
    busy = cell({"new": {"time": 0.75}, "old": {"time": 0.25}}, between=2, length=10.5, next_machine="first named")
    assert busy.spans_in("cell new", State.CUTTING) == [(2.0, 5.0), (6.0, 9.0), (10.0, 10.5)]
    assert busy.spans_in("cell old", State.CUTTING) == [(4.0, 5.0), (8.0, 9.0)]


def test_a_batch_is_filled_in_the_first_of_the_free_machines() -> None:
    batch = {"most": 2, "least": 1}
    seen = cell({}, machines=2, between=6, next_machine="first named", batch=batch)
    assert seen.tally.batches_begun.tolist() == [3, 0]
    assert cell({}, machines=2, between=6, batch=batch).tally.batches_begun.tolist() == [2, 1]


def test_each_has_its_own_breakdowns_and_the_others_those_of_the_operation() -> None:
    own = {"new": {}, "old": {"breakdowns": {"between": 6, "repair": 1, "cost": 7}}}
    works = a_cell(own, between=1, breakdowns={"between": 12, "repair": 2, "cost": 5})
    seen = run_shop(works)
    assert seen.spans_in("cell new", State.UNDER_REPAIR) == [(13.0, 15.0)]
    assert seen.spans_in("cell old", State.UNDER_REPAIR) == [(8.0, 9.0), (15.0, 16.0)]
    ledger = Ledger(works, seen.plan).rows(seen.tally)
    assert ledger[ledger["item"] == "maintenance"]["minor_units"].sum() == 100 * (5 + 2 * 7)


def test_each_has_its_own_overhauls_and_a_policy_speaks_to_all_that_have_any() -> None:
    overhaul = {"every": 8, "minutes": 1.5}
    own = {"new": {}, "old": {"breakdowns": {"between": 1000, "repair": 1, "overhaul": overhaul}}}
    seen = cell(own, between=1)
    assert seen.spans_in("cell old", State.OVERHAUL) == [(10.0, 11.5), (19.5, 19.9)]
    works = a_cell(own, between=1)
    asked = works.policies["as stated"].model_copy(update={"overhauls": {"cell": 4.0}})
    often = run_shop(works.model_copy(update={"policies": {"as stated": asked}}))
    assert often.spans_in("cell old", State.OVERHAUL) == [(6.0, 7.5), (11.5, 13.0), (17.0, 18.5)]
    assert often.minutes_in("cell new", State.OVERHAUL) == 0.0


def test_each_holds_the_part_by_a_fixture_of_its_own_and_edges_lose_as_much_in_each_part() -> None:
    stroke = {"stroke": {"cuts": {"cut": a_cut(minutes=2.0)}}}
    own = {"new": {"position": 12.0}, "old": {"time": 2.0, "position": -5.0}}
    works = a_shop(
        {"cell": {"machines": 2, "strokes": stroke, "unlike": own}},
        line={"features": FACE}, castings=4, length=100, cutters={"blade": a_blade(sets=3)},
    )  # fmt: skip
    seen = run_shop(works)
    # Wear of an edge leaves 30 um in 100 minutes, which is 0.6 um for each part; what stands too high is cut away.
    assert seen.errors("cell") == pytest.approx([-12.0, 5.0, -12.0 + 0.6, -12.0 + 1.2], abs=1e-9)
    assert seen.spans_in("cell new", State.CUTTING) == [(0.0, 2.0), (2.0, 4.0), (4.0, 6.0)]
    assert seen.spans_in("cell old", State.CUTTING) == [(0.0, 4.0)]


def test_machines_that_differ_in_nothing_are_alike() -> None:
    one = run_shop(a_cell({"first": {}, "second": {"time": 1}}, between=1))
    other = run_shop(a_cell({}, between=1))
    assert not different_fields(one.tally, other.tally)


def test_the_desk_shares_the_parts_out_by_the_pace() -> None:
    works = a_cell({"new": {"time": 0.5}, "old": {"time": 2.0}})
    row = desk_figures(works).operations.iloc[0]
    # 30 parts an hour on the one, 7.5 on the other.
    assert row["parts_per_hour"] == pytest.approx(37.5)
    assert row["cutting_min"] == pytest.approx(2 * 60 / 37.5)


@pytest.mark.parametrize(
    ("entries", "says"),
    [
        ({"machines": 3}, "2 machines are named under unlike; machines says 3"),
        ({"unlike": {"new": {"position": 3}, "old": {}}}, "nothing is cut here, so that an error of the fixture"),
        ({"unlike": {"only": {}}, "machines": 1, "next_machine": "first named"}, "there is one machine"),
        ({"unlike": {"new": {"time": 0}, "old": {}}}, "0 is too small"),
        ({"unlike": {"new": {"tempo": 2}, "old": {}}}, "tempo"),
    ],
)
def test_what_does_not_fit_is_refused(entries: dict[str, Any], says: str) -> None:
    with pytest.raises(ScenarioError, match=says):
        make_plan(a_cell(**{"unlike": {"new": {}, "old": {}}, **entries}), "as stated")


def test_a_tilt_counts_over_the_pads() -> None:
    stroke = {"stroke": {"cuts": {"cut": a_cut()}}}
    cell = {"machines": 2, "strokes": stroke, "unlike": {"new": {"tilt": 3}, "old": {}}}
    with pytest.raises(ScenarioError, match="for the tilt of a fixture"):
        a_shop({"cell": cell}, line={"features": FACE}, cutters={"blade": a_blade(sets=3)})


@pytest.mark.parametrize("fixtures", [None, {"measured": [{"position": 3}, {"tilt": 2}]}, {"count": 3, "position": 5}])
def test_both_engines_add_the_own_fixture_to_those_of_the_operation(fixtures: dict[str, Any] | None) -> None:
    stroke = {"stroke": {"cuts": {"cut": a_cut(feature="top")}}}
    own = {"new": {"tilt": 3, "position": -2.5}, "old": {"time": 1.5}}
    features = {**FACE, "top": {"size": {"limits": [49.98, 50.02]}, "length": 80, "parallelism": {"limit": 50}}}
    cell = {
        "machines": 2, "strokes": stroke, "unlike": own, "fixtures": fixtures, "locating": {"on": "face", "pads": 100},
    }  # fmt: skip
    works = a_shop({"cell": cell}, line={"features": features}, castings=9, cutters={"blade": a_blade(sets=3)})
    assert assert_twins_agree(make_plan(works, "as stated")).shipped[0] == 9
