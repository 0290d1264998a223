"""When cutter sets are changed on the floor, and what a stop for them takes; each floor worked out by hand."""

from __future__ import annotations

import math
from typing import Any

import pytest

from linesim.errors import ScenarioError
from linesim.floor.rules import ChangeRule, Edge, change_rule, known_rules
from linesim.plan.tally import State
from tests.floors import Seen, a_blade, a_cut, a_shop, a_tool, run_shop

INDEXED = {"indexed": {"edges": 1000}}


def one_machine(minutes: Any, tool: dict[str, Any], rule: Any, length: float = 100.0, **works: Any) -> Seen:
    """A machine with one tool under one rule."""
    operation = {"minutes": minutes, "sets": ["tool"]}
    return run_shop(a_shop({"Op 10": operation}, cutters={"tool": tool}, rule=rule, length=length, **works))


def test_a_set_is_changed_after_so_many_parts() -> None:
    seen = one_machine(2, a_tool(change=1), {"parts": 3}, length=22.0)
    assert [(change.now_min, change.parts) for change in seen.changes] == [(6.0, 3), (13.0, 3), (20.0, 3)]
    assert seen.tally.planned.tolist() == [3]


def test_a_set_is_changed_after_so_many_cutting_minutes() -> None:
    """Ten cuts of 0.1 min are a minute, though their sum falls short of it by rounding."""
    assert sum([0.1] * 10) < 1.0
    seen = one_machine(0.1, a_tool(change=1), {"minutes": 1}, length=6.5)
    assert [change.parts for change in seen.changes] == [10, 10, 10]


def test_a_set_is_changed_after_a_share_of_its_expected_life() -> None:
    seen = one_machine(1, a_tool(life=10), {"life": 0.5}, length=18.0)
    assert [change.parts for change in seen.changes] == [5, 5, 5]
    assert [change.life_share for change in seen.changes] == pytest.approx([0.5] * 3)


def test_loading_wears_nothing() -> None:
    operation = {"minutes": 1, "load": 3, "unload": 2, "sets": ["tool"]}
    works = a_shop({"Op 10": operation}, cutters={"tool": a_tool(life=10)}, rule={"minutes": 2}, length=30.0)
    assert [change.now_min for change in run_shop(works).changes] == [12.0, 24.0]


def test_an_edge_is_looked_at_and_changed_past_its_wear_land() -> None:
    """The land is 0.3 mm x share of life: 0.06 mm after two parts, 0.12 mm after four."""
    rule = {"check": {"every": 2, "past": 0.1, "minutes": 0.5}}
    seen = one_machine(1, a_tool(life=10, change=1), rule, length=6.0)
    assert seen.spans_in("Op 10", State.CHECKING) == [(2.0, 2.5), (4.5, 5.0)]
    assert [(change.now_min, change.parts) for change in seen.changes] == [(5.0, 4)]
    assert seen.tally.looks.tolist() == [2]


def test_the_wear_land_of_a_check_may_be_a_share_of_the_limit() -> None:
    rule = {"check": {"every": 1, "past_share": 0.45, "minutes": 0}}
    seen = one_machine(1, a_tool(life=10, wear_limit=0.6), rule, length=11.0)
    assert [change.parts for change in seen.changes] == [5, 5]


def test_a_look_at_an_edge_reads_with_an_error() -> None:
    """True land 0.06 mm at the first look, limit 0.1, error 0.05: read past it with a chance of 1 - Phi(0.8) = 0.2119.

    In 2000 first looks that is 423.7 with a standard deviation of 18.3; four of them are allowed.
    """
    tool = a_tool(life=10)
    rule = {"check": {"every": 2, "past": 0.1, "minutes": 0, "error": 0.05}}
    operation = {"minutes": 1, "sets": ["tool"]}
    seen = run_shop(a_shop({"Op 10": operation}, cutters={"tool": tool}, rule=rule, length=9_000.0))
    first = seen.changes[:2_000]
    assert len(first) == 2_000
    changed = sum(change.parts == 2 for change in first)
    chance = 0.5 * math.erfc(0.8 / math.sqrt(2.0))
    assert abs(changed - 2_000 * chance) <= 4.0 * math.sqrt(2_000 * chance * (1.0 - chance))


def cutting(gauge: dict[str, Any], rule: Any, length: float = 12.0, **blade: Any) -> Seen:
    """A face cut by a blade that recedes 0.3 µm for each part, and gauged after each."""
    operation = {
        "strokes": {"stroke": {"cuts": {"cut": a_cut()}}},
        "gauges": {"gauge": {"feature": "face", "limits": [99.0, 101.0], **gauge}},
    }
    features = {"face": {"size": {"limits": [99.0, 101.0]}, "roughness": {"limit": 50.0}}}
    works = a_shop(
        {"Op 10": operation}, line={"features": features}, cutters={"blade": a_blade(**blade)}, rule=rule, length=length
    )
    return run_shop(works)


def test_a_set_is_changed_when_the_gauge_reads_past_the_action_limit() -> None:
    """Metal left on part n is 0.3 n µm: the fifth part reads 1.2 µm, past 1 µm."""
    seen = cutting({}, {"gauge": {"size": 1.0}})
    assert seen.errors("Op 10")[:5] == pytest.approx([0.0, 0.3, 0.6, 0.9, 1.2])
    assert [(change.now_min, change.parts) for change in seen.changes] == [(5.0, 5), (10.0, 5)]


def test_a_set_is_changed_when_the_gauge_reads_too_rough() -> None:
    seen = cutting({"reads": ["roughness"]}, {"gauge": {"roughness": 0.9}}, length=2.5)
    assert [change.parts for change in seen.changes] == [1, 1]


def test_running_out_changes_a_set_only_when_a_part_has_failed() -> None:
    """Part 4 is the first that leaves more than 1 µm on; it is scrap, and the next edge is sharp."""
    seen = cutting({"limits": [99.999, 100.001], "tries": 0}, "run out", length=11.0)
    assert list(seen.moments["scrapped", "Op 10"].values()) == [5.0, 10.0]
    assert [(change.now_min, change.parts) for change in seen.changes] == [(5.0, 5), (10.0, 5)]


def test_a_set_is_changed_at_the_start_of_a_shift() -> None:
    """Shifts of an hour, parts of 25 minutes: the parts on the machine at 60, 120 and 180 are finished first."""
    seen = one_machine(25, a_tool(), {"shift": 1}, length=210.0, calendar={"shift": "1 h"})
    assert [change.now_min for change in seen.changes] == [75.0, 125.0, 200.0]
    every_second = one_machine(25, a_tool(), {"shift": 2}, length=260.0, calendar={"shift": "1 h"})
    assert [change.now_min for change in every_second.changes] == [125.0, 250.0]


def test_a_part_that_starts_with_the_shift_gets_a_sharp_edge() -> None:
    seen = one_machine(20, a_tool(), {"shift": 1}, length=70.0, calendar={"shift": "1 h"})
    assert [change.now_min for change in seen.changes] == [60.0]


def two_tools(group_past: float | None, length: float = 100.0, **operation: Any) -> Seen:
    cutters = {"mill": a_tool(change=3), "drill": a_tool(change=4)}
    works = a_shop(
        {"Op 10": {"minutes": 1, "sets": ["mill", "drill"], "access": 2, **operation}},
        cutters=cutters,
        exceptions={"mill": {"parts": 10}, "drill": {"parts": 12}},
        group_past=group_past,
        length=length,
    )
    return run_shop(works)


def test_getting_at_the_spindle_is_spent_once_for_each_stop() -> None:
    """Both are due after 60 parts; five stops for the mill and four for the drill come before."""
    seen = two_tools(None, length=60.0 + 5 * 5.0 + 4 * 6.0 + 9.5)
    assert seen.spans_in("Op 10", State.CHANGING)[-1] == (109.0, 118.0)
    assert seen.tally.stops.tolist() == [10]
    assert seen.tally.planned.tolist() == [6, 5]


def test_sets_past_a_share_of_their_interval_join_a_stop() -> None:
    """After 10 parts the drill has done 10 / 12 = 83 % of its interval."""
    seen = two_tools(0.8, length=19.5)
    assert [(change.now_min, change.cutter, change.why) for change in seen.changes] == [
        (10.0, "mill", "due"),
        (10.0, "drill", "joined"),
    ]
    assert seen.spans_in("Op 10", State.CHANGING) == [(10.0, 19.0)]
    assert seen.tally.joined.tolist() == [0, 1]


def test_sets_below_that_share_wait_for_their_own_turn() -> None:
    seen = two_tools(0.9, length=30.0)
    assert [(change.now_min, change.cutter, change.why) for change in seen.changes] == [
        (10.0, "mill", "due"),
        (17.0, "drill", "due"),
    ]


def test_an_indexed_set_is_turned_where_it_is_until_its_edges_are_used_up() -> None:
    """Three edges: turned after parts 1 and 2, replaced by a new set after part 3, turned after part 4."""
    tool = a_tool(change=1, replace=5, renewal={"indexed": {"edges": 3}})
    seen = one_machine(10, tool, {"parts": 1}, length=55.0)
    assert seen.spans_in("Op 10", State.CHANGING) == [(10.0, 11.0), (21.0, 22.0), (32.0, 37.0), (47.0, 48.0)]
    assert seen.tally.in_place.tolist() == [3]
    assert seen.tally.bought.tolist() == [1]
    assert seen.tally.planned.tolist() == [4]


def dressed(by_machine: bool) -> Seen:
    """A wheel of two dressings; the setter is at another line from minute 1 to minute 51."""
    cutters = {
        "wheel": a_tool(change=1, replace=5, renewal={"dressed": {"dressings": 2, "by_machine": by_machine}}),
        "other": a_tool(change=50),
    }
    lines = {
        "other": {"operations": {"Op 5": {"minutes": 1, "sets": ["other"], "setters": "setters"}}},
        "line": {"operations": {"Op 10": {"minutes": 10, "sets": ["wheel"], "setters": "setters", "access": 3}}},
    }
    people = {"setters": {"count": 1}}
    rules = {"wheel": {"parts": 1}, "other": {"shift": 1}}
    calendar = {"shift": "1 min"}
    return run_shop(
        a_shop(lines=lines, cutters=cutters, people=people, calendar=calendar, exceptions=rules, length=62.0)
    )


def test_a_wheel_is_dressed_by_the_setter_so_many_times_and_then_replaced() -> None:
    seen = dressed(by_machine=False)
    assert seen.spans_in("Op 10", State.WAITING_FOR_SETTER) == [(10.0, 51.0)]
    assert seen.spans_in("Op 10", State.CHANGING) == [(51.0, 55.0)]


def test_a_machine_that_dresses_by_itself_calls_nobody_until_the_wheel_is_used_up() -> None:
    """Dressed in a minute each time without getting at the spindle; replaced by the setter, who comes at 51."""
    seen = dressed(by_machine=True)
    assert seen.spans_in("Op 10", State.CHANGING) == [(10.0, 11.0), (21.0, 22.0), (51.0, 59.0)]
    assert seen.spans_in("Op 10", State.WAITING_FOR_SETTER) == [(32.0, 51.0)]
    assert seen.tally.in_place.tolist() == [0, 2]
    assert seen.tally.bought[0] == 1


class AfterTwiceTheParts(ChangeRule):
    """Due after twice so many parts."""

    def __init__(self, parts: int) -> None:
        self.parts = parts

    def is_due(self, edge: Edge, now_min: float) -> bool:
        """Ask the edge."""
        del now_min
        return edge.parts >= 2 * self.parts


def after_a_minute(edge: Edge, now_min: float, minute: float = 0.0) -> bool:
    """Due once, at the first part after a minute."""
    return edge.mounted_min < minute <= now_min


@pytest.fixture(autouse=True, scope="module")
def _rules_of_ones_own() -> None:
    change_rule("after twice the parts")(AfterTwiceTheParts)
    change_rule("after a minute")(after_a_minute)


def test_a_rule_of_ones_own_may_be_a_class() -> None:
    rule = {"own": {"name": "after twice the parts", "options": {"parts": 3}}}
    seen = one_machine(1, a_tool(), rule, length=14.0)
    assert [change.parts for change in seen.changes] == [6, 6]


def test_a_rule_of_ones_own_may_be_a_function() -> None:
    rule = {"own": {"name": "after a minute", "options": {"minute": 7.5}}}
    seen = one_machine(1, a_tool(), rule, length=30.0)
    assert [change.now_min for change in seen.changes] == [8.0]


def test_an_unknown_rule_is_told_with_those_that_are_known() -> None:
    with pytest.raises(ScenarioError) as caught:
        one_machine(1, a_tool(), {"own": {"name": "by the moon"}})
    known = ", ".join(f'"{name}"' for name in known_rules())
    assert str(caught.value) == (
        f'policy "as stated": the rule "by the moon" is not known; rules made known with change_rule: {known}. '
        "Import the module that defines it first (on the command line: --rules FILE.py)"
    )


def test_options_that_a_rule_does_not_take_are_refused() -> None:
    with pytest.raises(ScenarioError, match='the rule "after twice the parts" does not take these options: '):
        one_machine(1, a_tool(), {"own": {"name": "after twice the parts", "options": {"moons": 3}}})
