"""Edges that break and machines that break down; each floor worked out by hand."""

from __future__ import annotations

from typing import Any

import pytest

from linesim.plan.tally import Cause, State
from tests.floors import Seen, a_blade, a_cut, a_shop, a_tool, run_shop

BREAKING = {"shape": 5.0, "scale": 0.5}
"""Life shares at which edges break: about a half, each one's own."""


def one_machine(tools: dict[str, dict[str, Any]], length: float = 400.0, **operation: Any) -> Seen:
    entries = {"minutes": 40, "sets": list(tools), "access": 2, **operation}
    return run_shop(a_shop({"Op 10": entries}, cutters=tools, length=length))


def test_a_breaking_edge_ends_the_cut_and_spoils_the_part() -> None:
    """Lives are 100 min: the edge breaks after 100 x its life share; the change takes 2 + 3 + 10 min."""
    seen = one_machine({"tool": a_tool(life=100, life_cv=0, breaking=BREAKING, change=3, extra_when_broken=10)})
    first = seen.changes[0]
    broke_min = 100.0 * first.life_share
    assert first.why == "broken"
    assert 0.0 < broke_min < 100.0
    part = int(broke_min // 40.0)
    assert seen.moments["scrapped", "Op 10"]["line", part] == pytest.approx(broke_min, abs=1e-9)
    assert first.parts == part
    assert seen.spans_in("Op 10", State.CHANGING)[0] == pytest.approx((broke_min, broke_min + 15.0))
    assert seen.moments["loaded", "Op 10"]["line", part + 1] == pytest.approx(broke_min + 15.0)


def test_a_broken_set_is_lost_and_a_new_one_is_bought() -> None:
    stone = {"reground": {"stock": 1000.0, "minutes": 1.0}}
    seen = one_machine({"tool": a_tool(life=100, life_cv=0, breaking=BREAKING, renewal=stone, lead_time=5)})
    broken = [change for change in seen.changes if change.why == "broken"]
    assert len(broken) >= 3
    assert seen.tally.regrinds.tolist() == [0]
    assert seen.tally.bought.tolist() == [len(broken)]
    assert seen.tally.unplanned.tolist() == [len(broken)]
    assert seen.tally.scrapped[0, Cause.BROKEN_CUTTER] == len(broken)


def test_the_other_edges_of_the_machine_are_worn_just_until_the_break() -> None:
    tools = {
        "brittle": a_tool(life=100, life_cv=0, breaking=BREAKING, change=5),
        "tough": a_tool(life=1000, life_cv=0),
    }
    broke_min = one_machine(tools).changes[0].now_min
    tough = one_machine(tools, length=broke_min + 1.0).floor.machines[0].mounts[1]
    assert tough.edge.cut_min == pytest.approx(broke_min, abs=1e-9)
    assert tough.life_share == pytest.approx(broke_min / 1000.0, abs=1e-12)


def strokes(blades: dict[str, dict[str, Any]], minutes: dict[str, float], length: float) -> Seen:
    """One stroke in which each blade makes a cut of its own."""
    cuts = {name: a_cut(name, minutes=minutes[name]) for name in blades}
    operation = {"strokes": {"stroke": {"cuts": cuts}}}
    features = {"face": {"size": {"limits": [99.0, 101.0]}}}
    return run_shop(a_shop({"Op 10": operation}, line={"features": features}, cutters=blades, length=length))


def test_the_first_edge_to_break_ends_the_stroke() -> None:
    """Both lives are 100 min; whichever breaks first ends the cut, and the other has worn as long."""
    blades = {name: a_blade(breaking=BREAKING, change=5) for name in ("lead", "trail")}
    minutes = {"lead": 90.0, "trail": 90.0}
    broken = strokes(blades, minutes, length=89.0).changes[0]
    seen = strokes(blades, minutes, length=broken.now_min + 1.0)
    assert broken.now_min == pytest.approx(100.0 * broken.life_share)
    assert seen.moments["scrapped", "Op 10"]["line", 0] == broken.now_min
    assert not seen.moments["complete", "Op 10"]
    lead, trail = seen.floor.machines[0].mounts
    other = trail if broken.cutter == "lead" else lead
    assert other.life_share == pytest.approx(broken.life_share)
    assert other.break_share > broken.life_share


def test_an_edge_that_would_break_after_its_own_cut_does_not() -> None:
    """The stroke lasts 90 min, the trailing blade cuts for 1 min of it: it wears 1 min a part."""
    blades = {"lead": a_blade(), "trail": a_blade(breaking=BREAKING)}
    seen = strokes(blades, {"lead": 90.0, "trail": 1.0}, length=2_000.0)
    assert len(seen.when("left", "Op 10")) == 22
    assert not seen.changes


def test_a_stroke_lasts_as_long_as_its_longest_cut() -> None:
    seen = strokes({"lead": a_blade(), "trail": a_blade()}, {"lead": 2.0, "trail": 3.0}, length=10.0)
    assert seen.when("left", "Op 10") == [3.0, 6.0, 9.0]


def failing(length: float, **operation: Any) -> Seen:
    breakdowns = {"between": 10, "repair": 3}
    return run_shop(a_shop({"Op 10": {"minutes": 4, "load": 1, "breakdowns": breakdowns, **operation}}, length=length))


def test_the_time_to_failure_runs_on_cutting_time_only_and_the_cut_is_resumed() -> None:
    """Ten cutting minutes are up at 13, two into the third cut; it is resumed at 16 and ends at 18."""
    seen = failing(length=27.0)
    assert seen.spans_in("Op 10", State.UNDER_REPAIR)[0] == (13.0, 16.0)
    assert seen.when("left", "Op 10")[:3] == [5.0, 10.0, 18.0]
    assert seen.tally.breakdowns.tolist() == [1]


def test_a_cut_can_be_stopped_more_than_once() -> None:
    """25 minutes with a failure after each 10: 10 + 3 + 10 + 3 + 5."""
    seen = failing(minutes=25, load=0, length=32.0)
    assert seen.when("left", "Op 10") == [31.0]


def test_a_stop_wears_no_edge() -> None:
    operation = {"minutes": 4, "sets": ["tool"], "breakdowns": {"between": 10, "repair": 30}}
    works = a_shop({"Op 10": operation}, cutters={"tool": a_tool(life=100)}, rule={"minutes": 12}, length=60.0)
    seen = run_shop(works)
    assert [(change.now_min, change.life_share) for change in seen.changes] == [(42.0, pytest.approx(0.12))]


def test_a_fitter_is_waited_for() -> None:
    """Both machines fail at 10; No. 1 is mended from 10 to 13, No. 2 from 13 to 16."""
    breakdowns = {"between": 10, "repair": 3}
    operation = {"minutes": 20, "machines": 2, "fitters": "fitters", "breakdowns": breakdowns}
    seen = run_shop(a_shop({"Op 10": operation}, people={"fitters": {"count": 1}}, length=20.0))
    assert seen.spans_in("Op 10 No. 1", State.UNDER_REPAIR) == [(10.0, 13.0)]
    assert seen.spans_in("Op 10 No. 2", State.WAITING_FOR_FITTER) == [(10.0, 13.0)]
    assert seen.spans_in("Op 10 No. 2", State.UNDER_REPAIR) == [(13.0, 16.0)]


def test_setters_and_fitters_may_be_the_same_people() -> None:
    """At 10 the machine with the breakdown calls the pool that is changing the other one's cutter until 12."""
    lines = {
        "a": {"operations": {"Op A": {"minutes": 8, "sets": ["tool"], "setters": "hands"}}},
        "b": {"operations": {"Op B": {"minutes": 20, "fitters": "hands", "breakdowns": {"between": 10, "repair": 3}}}},
    }
    cutters = {"tool": a_tool(change=4)}
    works = a_shop(lines=lines, cutters=cutters, people={"hands": {"count": 1}}, rule={"parts": 1}, length=16.0)
    seen = run_shop(works)
    assert seen.spans_in("Op B", State.WAITING_FOR_FITTER) == [(10.0, 12.0)]
    assert seen.spans_in("Op B", State.UNDER_REPAIR) == [(12.0, 15.0)]
