"""A run of the floor: what is counted and what is not, runs that cannot go on, and the same run again."""

from __future__ import annotations

from dataclasses import fields, replace
from itertools import accumulate
from typing import Any

import numpy as np
import pytest

from linesim.chance import Purpose, uniforms
from linesim.errors import RunError
from linesim.fast.run import run_fast
from linesim.floor import foreman
from linesim.floor.run import run_floor
from linesim.plan.build import make_plan
from linesim.plan.tables import Pools
from linesim.plan.tally import Cause, State, Tally
from tests.builders import a_works
from tests.floors import a_shop, a_tool, run_shop


def is_same(one: Tally, other: Tally) -> bool:
    """Whether two tallies are the same, byte for byte."""
    for field in fields(Tally):
        first, second = getattr(one, field.name), getattr(other, field.name)
        if np.asarray(first).tobytes() != np.asarray(second).tobytes():
            return False
    return True


def test_the_warm_up_is_cut_off() -> None:
    """Parts leave at 3, 6, 9 ...; from 10 to 22 that is 12, 15, 18 and 21, the first of them begun before."""
    seen = run_shop(a_shop({"Op 10": {"minutes": 3}}, warm_up=10.0, length=12.0))
    assert seen.tally.shipped.tolist() == [4]
    assert seen.tally.counted_min == 12.0
    assert seen.tally.state_min[0, State.CUTTING] == pytest.approx(12.0)
    assert seen.tally.lead_min.tolist() == [12.0]
    # The part on the machine when counting begins came before; one more is there at the end.
    assert seen.tally.castings.tolist() == [4]
    assert seen.tally.in_line_at_end.tolist() == [1]


def test_what_is_due_at_the_last_moment_is_not_counted() -> None:
    assert run_shop(a_shop({"Op 10": {"minutes": 3}}, length=12.0)).tally.shipped.tolist() == [3]


def test_people_who_are_busy_when_counting_begins_count_from_there() -> None:
    """The setter changes from 5 to 25; counted from 10 to 40, with the next change from 30 on."""
    operation = {"minutes": 5, "sets": ["tool"], "setters": "setters"}
    works = a_shop(
        {"Op 10": operation},
        cutters={"tool": a_tool(change=20)},
        people={"setters": {"count": 1}},
        rule={"parts": 1},
        warm_up=10.0,
        length=30.0,
    )
    assert run_shop(works).tally.busy_min[0] == pytest.approx(15.0 + 10.0)


def test_the_greatest_stock_is_that_of_the_counted_time() -> None:
    """Six castings stand before the second machine soon; four of them are left when counting begins at 250."""
    operations = {"Op 10": {"minutes": 1}, "Op 20": {"minutes": 100, "buffer": 9}}
    works = a_shop(operations, castings=7, warm_up=250.0, length=200.0)
    assert run_shop(works).tally.most_stock.tolist() == [0, 4]


def test_stock_is_counted_over_time() -> None:
    """Parts come at 2, 4 and 6 and are taken at 2, 7 and 12: one stands from 4 to 7 and another from 6 to 12."""
    operations = {"Op 10": {"minutes": 2}, "Op 20": {"minutes": 5, "buffer": 9}}
    tally = run_shop(a_shop(operations, castings=3, length=20.0)).tally
    assert tally.stock_min.tolist() == [0.0, 3.0 + 6.0]
    assert (tally.taken[1], tally.had_to_wait[1], tally.stood_min[1]) == (3, 2, 9.0)
    assert tally.most_stock.tolist() == [0, 2]


def test_times_in_order_are_used_in_turn_over_and_over() -> None:
    for replication in (0, 1):
        seen = run_shop(a_shop({"Op 10": {"minutes": {"in_order": [1, 2, 4]}}}, length=15.5), replication=replication)
        assert seen.when("left", "Op 10") == [1.0, 3.0, 7.0, 8.0, 10.0, 14.0, 15.0]


def test_listed_times_are_drawn_anew_for_each_part_and_each_replication() -> None:
    """Which of the three it is follows from the part's own uniform number: below a third, two thirds, or above."""
    works = a_shop({"Op 10": {"minutes": {"listed": [1, 2, 4]}}}, length=200.0)
    drawn = []
    for replication in (0, 1):
        numbers = [uniforms(1, replication, int(Purpose.CYCLE), 0, part, 0)[0] for part in range(40)]
        times = [1.0 if u < 1.0 / 3.0 else 2.0 if u < 2.0 / 3.0 else 4.0 for u in numbers]
        left = run_shop(works, replication=replication).when("left", "Op 10")[:40]
        assert left == list(accumulate(times))
        assert set(times) == {1.0, 2.0, 4.0}
        drawn.append(left)
        assert run_fast(make_plan(works, "as stated"), 1, replication).shipped[0] == len(
            run_shop(works, replication=replication).when("left", "Op 10")
        )
    assert drawn[0] != drawn[1]


def test_what_leaves_at_the_very_end_of_the_counted_time_is_no_longer_counted() -> None:
    """Two spans that follow each other count each part once: 5, 10 of 15 minutes, then 15, 20 and 25 of 15 more."""
    operations = {"Op 10": {"minutes": 5}}
    first = a_shop(operations, length=15.0)
    second = a_shop(operations, warm_up=15.0, length=15.0)
    for works, shipped in ((first, 2), (second, 3)):
        assert run_shop(works).tally.shipped.tolist() == [shipped]
        assert run_fast(make_plan(works, "as stated"), 1, 0).shipped.tolist() == [shipped]


def test_an_operation_without_time_is_allowed_behind_one_that_takes_some() -> None:
    operations = {"Op 10": {"minutes": 2}, "Op 20": {"minutes": 0}, "Op 30": {"minutes": 0, "buffer": 3}}
    seen = run_shop(a_shop(operations, length=9.0))
    assert seen.when("left", "Op 30") == [2.0, 4.0, 6.0, 8.0]


def test_a_line_that_takes_no_time_at_all_is_refused(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(foreman, "MOST_ROUNDS", 2_000)
    with pytest.raises(RunError, match="at minute 0 parts go round without any time passing; give the operations"):
        run_shop(a_shop({"Op 10": {"minutes": 0}, "Op 20": {"minutes": 0}}))


def test_a_line_without_time_and_with_few_castings_is_not() -> None:
    seen = run_shop(a_shop({"Op 10": {"minutes": 0}}, castings=50, length=5.0))
    assert seen.tally.shipped.tolist() == [50]
    assert not seen.tally.is_stuck


def test_a_floor_on_which_nothing_can_move_any_more_is_told() -> None:
    """A plan without a single setter: the machine waits for one from minute 12 on."""
    operation = {"minutes": 4, "sets": ["tool"], "setters": "setters"}
    works = a_shop(
        {"Op 10": operation}, cutters={"tool": a_tool()}, people={"setters": {}}, rule={"parts": 3}, length=100.0
    )
    plan = replace(make_plan(works, "as stated"), pools=Pools(*[np.zeros(1, dtype=np.int64)] * 4))
    tally = run_floor(plan, 1, 0)
    assert tally.is_stuck
    assert tally.stuck_at_min == 12.0
    assert tally.state_min[0, State.WAITING_FOR_SETTER] == 88.0


def test_a_line_that_has_run_out_of_castings_is_not_stuck() -> None:
    tally = run_shop(a_shop({"Op 10": {"minutes": 4}}, castings=3, length=100.0)).tally
    assert tally.shipped.tolist() == [3]
    assert not tally.is_stuck


def test_spoilt_parts_are_counted_with_the_minutes_put_into_them() -> None:
    """Every part is spoilt at the second operation, after 2 min at the first and 3 at the second, 1 of it loading."""
    operations = {"Op 10": {"minutes": 2}, "Op 20": {"minutes": 2, "load": 1, "scrap_chance": 1.0, "buffer": 9}}
    tally = run_shop(a_shop(operations, castings=4, length=50.0)).tally
    assert tally.scrapped[1, Cause.OTHER] == 4
    assert tally.scrapped_parts.tolist() == [4]
    assert tally.scrapped_min.tolist() == [[0.0, 0.0], [8.0, 12.0]]
    assert tally.shipped.tolist() == [0]


def test_a_spoilt_part_has_worn_the_edge_like_any_other() -> None:
    operation = {"minutes": 1, "sets": ["tool"], "scrap_chance": 0.5}
    works = a_shop({"Op 10": operation}, cutters={"tool": a_tool(life=100)}, rule={"parts": 10}, length=100.5)
    seen = run_shop(works)
    assert 0 < seen.tally.scrapped_castings[0] < 100
    assert [change.now_min for change in seen.changes] == [10.0 * (1 + at) for at in range(10)]


def test_parts_passed_on_at_the_first_try_are_counted_for_each_operation() -> None:
    operations = {"Op 10": {"minutes": 1, "recut_chance": 0.4}, "Op 20": {"minutes": 1, "buffer": 99}}
    tally = run_shop(a_shop(operations, castings=60, length=300.0)).tally
    assert 0 < tally.first_pass[0] < 60
    assert tally.first_pass.tolist() == [60 - np.count_nonzero(recut_parts(operations)), 60]
    assert tally.shipped_first_pass[0] == tally.first_pass[0]


def recut_parts(operations: dict[str, Any]) -> list[bool]:
    """Which of 60 parts took more than one minute at the first operation."""
    seen = run_shop(a_shop(operations, castings=60, length=300.0))
    times = zip(seen.when("loaded", "Op 10"), seen.when("complete", "Op 10"), strict=True)
    return [complete - loaded > 1.5 for loaded, complete in times]


@pytest.mark.parametrize("policy", ["by parts", "run out"])
def test_the_same_key_gives_the_same_run_byte_for_byte(policy: str) -> None:
    plan = make_plan(a_works(), policy)
    first, second = run_floor(plan, 5, 2), run_floor(plan, 5, 2)
    assert is_same(first, second)
    assert not is_same(first, run_floor(plan, 5, 3))
    assert not is_same(first, run_floor(plan, 6, 2))
