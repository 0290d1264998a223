"""Ways between operations: by hand, by carriers, on conveyors; floors worked out by hand."""

from __future__ import annotations

from typing import Any

import pytest

from linesim.errors import ScenarioError
from linesim.plan.tally import State
from linesim.result.words import findings_of
from tests.agree.twins import different_fields
from tests.floors import Seen, a_shop, run_shop

BELT = {"length": "3 m", "speed": "3 m/min", "pitch": "1 m"}
"""Three places, a minute from end to end."""


def moved(move: Any, first: Any = 1, second: Any = 0.5, length: float = 12.4, **entries: Any) -> Seen:
    operations = {"Op 10": {"minutes": first}, "Op 20": {"minutes": second, "move": move, **entries}}
    return run_shop(a_shop(operations, length=length))


def test_a_part_sets_out_when_there_is_room_for_it() -> None:
    none = moved(0.5, second=3)
    assert none.when("left", "Op 10") == [1.0, 4.5, 8.0, 11.5]
    assert none.when("loaded", "Op 20") == [1.5, 5.0, 8.5, 12.0]
    one = moved("30 s", second=3, buffer=1)
    assert one.when("left", "Op 10") == [1.0, 2.0, 4.5, 7.5, 10.5]
    assert one.when("loaded", "Op 20") == [1.5, 4.5, 7.5, 10.5]
    assert one.tally.moving_min.tolist() == [0.0, 2.5]
    assert one.tally.in_line_at_end.tolist() == [3]


def test_none_overtakes_another() -> None:
    seen = moved({"minutes": {"in_order": [3, 0.5]}}, buffer="unlimited")
    assert seen.when("loaded", "Op 20")[:4] == [4.0, 4.5, 6.0, 6.5]
    # Its waiting counts from when it is there.
    assert seen.tally.stood_min[1] == pytest.approx(0.5 * 4)


def test_a_carrier_waits_with_its_part_and_comes_back_empty() -> None:
    one = moved({"minutes": 2, "carriers": 1})
    assert one.when("left", "Op 10") == [1.0, 5.0, 9.0]
    assert one.when("loaded", "Op 20") == [3.0, 7.0, 11.0]
    assert moved({"minutes": 2, "carriers": 1, "back": 0.5}).when("loaded", "Op 20") == [3.0, 5.5, 8.0, 10.5]
    assert moved({"minutes": 2, "carriers": 2}).when("loaded", "Op 20")[:4] == [3.0, 4.0, 7.0, 8.0]
    slow = moved({"minutes": 1, "carriers": 1}, second=5)
    assert slow.when("left", "Op 10") == [1.0, 3.0, 8.0]
    assert slow.when("loaded", "Op 20") == [2.0, 7.0, 12.0]
    assert (slow.tally.moving_min[1], slow.tally.carrying_min[1]) == (2.0, 7.0)


def test_carriers_that_are_nearly_always_out_are_named() -> None:
    works = a_shop(
        {"Op 10": {"minutes": 1}, "Op 20": {"minutes": 1, "move": {"minutes": 2, "carriers": 1}}}, length=401
    )
    seen = run_shop(works)
    words = [finding.text for finding in findings_of(works, seen.plan, seen.tally)]
    assert 'The carriers to "Op 20" are out 99 % of the time.' in words


def test_a_conveyor_keeps_a_machine_fed_with_the_parts_that_are_on_it() -> None:
    """12 m at 9 m/min and a pitch of 0.8 m: 15 places, 4/3 min (facts worked out for a machine of half a minute)."""
    seen = moved({"length": "12 m", "speed": "9 m/min", "pitch": "0.8 m"}, first=0.5, length=61.5)
    assert seen.plan.moves.room[1] == 15
    assert seen.when("loaded", "Op 20")[:3] == pytest.approx([0.5 + 4 / 3, 1.0 + 4 / 3, 1.5 + 4 / 3])
    assert seen.tally.most_stock[1] == 3
    assert seen.minutes_in("Op 20", State.WAITING_FOR_PART) == pytest.approx(0.5 + 4 / 3)


def test_parts_close_up_behind_one_that_waits_where_the_conveyor_accumulates() -> None:
    seen = moved(BELT, first=0.5, second=2, length=6.0)
    assert seen.when("left", "Op 10") == [0.5, 1.0, 1.5, 2.0, 3.5, 5.5]
    assert seen.when("loaded", "Op 20") == [1.5, 3.5, 5.5]


def test_the_next_part_moves_up_by_a_pitch_when_the_one_before_it_is_gone() -> None:
    seen = moved(BELT, first=0.5, second={"in_order": [2, 0.1]}, length=5.0)
    assert seen.when("loaded", "Op 20") == pytest.approx([1.5, 3.5, 3.5 + 1 / 3])


def test_all_of_the_conveyor_stops_where_it_does_not() -> None:
    seen = moved(BELT | {"accumulates": False}, first=0.5, second=2, length=6.0)
    assert seen.when("left", "Op 10") == pytest.approx([0.5, 1.0, 1.5, 2.0, 3.5 + 1 / 3, 5.5 + 1 / 6])
    assert seen.when("loaded", "Op 20") == [1.5, 3.5, 5.5]


def test_parts_keep_a_pitch_between_them() -> None:
    seen = moved(BELT, first=0.1, second=0.1, length=2.0)
    assert seen.when("left", "Op 10")[:4] == pytest.approx([0.1, 0.1 + 1 / 3, 0.1 + 2 / 3, 1.1])


def test_a_conveyor_without_end_is_a_buffer_further_away() -> None:
    minutes = {"uniform": {"low": 0.5, "high": 2}}
    belt = {"length": "100 m", "speed": "100 m/min", "pitch": "0.1 m"}
    away = moved(belt, minutes, minutes, 400.0).when("left", "Op 20")
    here = moved(None, minutes, minutes, 400.0, buffer="unlimited").when("left", "Op 20")
    assert len(here) - len(away) in (0, 1, 2)
    assert away == pytest.approx([minute + 1.0 for minute in here[: len(away)]])


@pytest.mark.parametrize("buffer", [0, 2, "unlimited"])
def test_a_way_that_takes_no_time_is_none(buffer: Any) -> None:
    minutes = {"exponential": {"mean": 1}}
    left, right = (moved(move, minutes, minutes, 300.0, buffer=buffer, machines=2) for move in (0, None))
    assert different_fields(left.tally, right.tally) == []


def test_parts_in_transit_fill_a_batch() -> None:
    seen = moved(1, second=2, length=9.0, batch={"most": 3, "least": 3})
    assert seen.when("left", "Op 10")[:4] == [1.0, 2.0, 3.0, 6.0]
    assert seen.when("loaded", "Op 20")[:3] == [4.0] * 3


@pytest.mark.parametrize(
    ("move", "words"),
    [
        ({"length": "3 m"}, "missing: speed, pitch"),
        ({"minutes": 1, "speed": 3}, "give either minutes or a conveyor"),
        (BELT | {"carriers": 2}, "a conveyor has no carriers"),
        ({"minutes": 1, "back": 2}, "only carriers come back"),
        (BELT | {"pitch": "4 m"}, "has no room for a part"),
    ],
)
def test_what_is_no_way_is_refused(move: Any, words: str) -> None:
    with pytest.raises(ScenarioError, match=words):
        moved(move)


def test_nothing_comes_before_the_first_operation_and_a_conveyor_is_its_own_buffer() -> None:
    with pytest.raises(ScenarioError, match="nothing comes before the first operation"):
        a_shop({"Op 10": {"minutes": 1, "move": 1}})
    with pytest.raises(ScenarioError, match="parts stand on the conveyor"):
        moved(BELT, buffer=2)
