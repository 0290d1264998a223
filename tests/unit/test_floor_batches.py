"""Machines that take several parts at once; floors worked out by hand."""

from __future__ import annotations

from typing import Any

import pytest

from linesim.desk import desk_figures
from linesim.errors import ScenarioError
from linesim.plan.tables import NONE
from linesim.plan.tally import State
from linesim.result.words import findings_of
from linesim.works import Works
from tests.agree.twins import different_fields
from tests.floors import Seen, a_blade, a_cut, a_shop, run_shop


def washed(batch: dict[str, Any], length: float = 12.9, castings: int | None = None, **entries: Any) -> Works:
    """Parts come to the washer from a machine that takes a minute for each; a batch takes four."""
    wash = {"minutes": 4, "buffer": "unlimited", "batch": batch, **entries}
    return a_shop({"Op 10": {"minutes": 1}, "wash": wash}, length=length, castings=castings)


def wash(batch: dict[str, Any], length: float = 12.9, castings: int | None = None, **entries: Any) -> Seen:
    return run_shop(washed(batch, length, castings, **entries))


def test_it_starts_with_what_is_there_and_takes_no_more_in_while_it_runs() -> None:
    seen = wash({"most": 3})
    assert seen.when("loaded", "wash") == [1.0, 5.0, 5.0, 5.0, 9.0, 9.0, 9.0]
    assert seen.when("left", "wash") == [5.0, 9.0, 9.0, 9.0]
    assert seen.tally.batches_begun.tolist() == [0, 3]
    assert seen.spans_in("wash", State.FILLING) == []


def test_it_waits_until_it_is_full() -> None:
    seen = wash({"most": 3, "least": 3})
    assert seen.when("loaded", "wash") == [3.0, 3.0, 3.0, 7.0, 7.0, 7.0, 11.0, 11.0, 11.0]
    assert seen.spans_in("wash", State.WAITING_FOR_PART) == [(0.0, 1.0)]
    assert seen.spans_in("wash", State.FILLING) == [(1.0, 3.0)]


def test_it_waits_so_long_from_its_first_part_on() -> None:
    seen = wash({"most": 3, "waits": 1.5})
    assert seen.when("loaded", "wash") == [2.5, 2.5, 6.5, 6.5, 6.5, 10.5, 10.5, 10.5]
    assert seen.spans_in("wash", State.FILLING) == [(1.0, 2.5)]


def test_when_it_has_waited_so_long_it_still_waits_for_the_least_number() -> None:
    assert wash({"most": 3, "least": 2, "waits": 0.5}).when("loaded", "wash")[:3] == [2.0, 2.0, 6.0]
    # Nor does a clock that was set for an earlier batch start a later one.
    assert wash({"most": 2, "least": 1, "waits": 6.5}, minutes=2.5).when("loaded", "wash")[:5] == [
        2.0, 2.0, 4.5, 4.5, 7.0,
    ]  # fmt: skip


def test_loading_takes_its_time_for_each_part_or_for_all_together() -> None:
    each = wash({"most": 3, "least": 3}, load=1, unload=0.5)
    assert each.spans_in("wash", State.CUTTING) == [(6.0, 10.0)]
    assert each.when("left", "wash")[:3] == [10.5, 11.0, 11.5]
    together = wash({"most": 3, "least": 3, "loaded": "together"}, load=1, unload=0.5)
    assert together.spans_in("wash", State.CUTTING) == [(4.0, 8.0), (9.5, 12.9)]
    assert together.when("left", "wash")[:3] == [8.5, 8.5, 8.5]


def test_of_several_machines_the_one_that_is_free_longest_is_filled_first() -> None:
    seen = wash({"most": 3, "least": 2, "waits": 9}, machines=2)
    assert [seen.machine_of["wash", "line", serial] for serial in range(6)] == ["wash No. 1"] * 3 + ["wash No. 2"] * 3
    assert seen.when("loaded", "wash")[:6] == [3.0] * 3 + [6.0] * 3


def test_what_comes_at_one_instant_starts_together() -> None:
    operations: dict[str, Any] = {
        "Op 10": {"minutes": 1},
        "wash": {"minutes": 2, "buffer": 3, "batch": {"most": 3, "least": 3}},
        "dry": {"minutes": 1, "batch": {"most": 3}},
    }
    seen = run_shop(a_shop(operations, length=9.5))
    assert seen.when("loaded", "dry") == [5.0, 5.0, 5.0, 8.0, 8.0, 8.0]


def test_breakdowns_last_for_the_whole_batch() -> None:
    breakdowns = {"between": 5, "repair": 1}
    assert wash({"most": 3, "least": 3}, breakdowns=breakdowns).when("left", "wash") == [7.0] * 3 + [12.0] * 3


def test_a_line_that_never_fills_the_last_batch_stands_and_says_so() -> None:
    works = washed({"most": 3, "least": 3}, 30.0, 4)
    seen = run_shop(works)
    assert seen.tally.is_stuck
    assert (seen.tally.stuck_from_min[1], seen.tally.stuck_state[1]) == (7.0, State.FILLING)
    words = " ".join(finding.text for finding in findings_of(works, seen.plan, seen.tally))
    assert "filling a batch" in words
    # With a clock it goes on.
    assert run_shop(washed({"most": 3, "waits": 9}, 30.0, 4)).tally.shipped.tolist() == [4]
    still = run_shop(washed({"most": 3, "waits": 20}, 12.0, 4)).tally
    assert (still.is_stuck, still.stuck_state.tolist()) == (False, [NONE, NONE])


def test_a_batch_of_one_is_no_batch() -> None:
    entries = {"load": 0.3, "unload": {"exponential": {"mean": 0.2}}, "scrap_chance": 0.2, "machines": 2}
    entries |= {"minutes": {"exponential": {"mean": 2}}, "breakdowns": {"between": 9, "repair": 1}}
    single = a_shop({"Op 10": {"minutes": 1}, "wash": {"buffer": "unlimited", **entries}}, length=300.0)
    left, right = run_shop(single).tally, run_shop(washed({"most": 1}, 300.0, **entries)).tally
    assert different_fields(left, right) == ["batches_begun"]


def test_on_paper_a_full_batch_shares_its_minutes() -> None:
    works = washed({"most": 4, "loaded": "together"}, load=1, unload=1)
    row = desk_figures(works).operations.iloc[1]
    assert (row["cutting_min"], row["handling_min"], row["parts_per_hour"]) == (1.0, 0.5, 40.0)


@pytest.mark.parametrize(
    ("entries", "words"),
    [
        ({"batch": {"most": 3, "least": 4}}, r"least \(4\) must not be above most \(3\)"),
        ({"batch": {"most": 3}, "recut_chance": 0.1}, "takes several parts at once has no recut_chance"),
        ({"batch": {"most": 0}}, "most"),
    ],
)
def test_what_does_not_go_with_a_batch_is_refused(entries: dict[str, Any], words: str) -> None:
    with pytest.raises(ScenarioError, match=words):
        a_shop({"wash": {"minutes": 1, **entries}})


def test_fewer_pallets_than_the_least_batch_are_refused() -> None:
    with pytest.raises(ScenarioError, match="the machine waits for 4 parts, and the line has 3 pallets"):
        a_shop({"wash": {"minutes": 1, "batch": {"most": 5, "least": 4}}}, line={"pallets": 3})


def test_strokes_are_not_made_in_batches() -> None:
    operation = {"strokes": {"stroke": {"cuts": {"cut": a_cut()}}}, "batch": {"most": 2}}
    with pytest.raises(ScenarioError, match="strokes cut one part after another"):
        a_shop({"Op 10": operation}, line={"features": {"face": {}}}, cutters={"blade": a_blade()})
