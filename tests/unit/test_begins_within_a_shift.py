"""A run that begins within a shift: all that goes by the calendar is as at that minute; worked out by hand.

The calendar has shifts of ten minutes unless a test says otherwise, so that a day or a shift ends soon.
"""

from __future__ import annotations

import math
from pathlib import Path
from typing import Any

import numpy as np
import pytest

from linesim.chance import lognormal_value, normals
from linesim.chance.numbers import Purpose
from linesim.errors import ScenarioError
from linesim.fast.run import run_fast
from linesim.floor.run import run_floor
from linesim.plan.build import make_plan
from linesim.plan.tally import State
from linesim.works import Works, changed, load_works, works_from_bytes, works_from_text
from linesim.works.book.writing import to_workbook
from tests.floors import Seen, a_blade, a_cut, a_shop, a_tool, run_shop

WEEK = {"shift": 10, "shifts_per_day": 2, "days_per_week": 2}
ONE_SHIFT = {"shift": 10, "shifts_per_day": 1}
LOADED = {"minutes": 2, "load": 1, "attended": {"by": "operators"}}


def begun(day: str, shift: int, after: float, **now: Any) -> dict[str, Any]:
    return {"at": {"day": day, "shift": shift, "after": after}, **now}


def on_both(works: Works) -> Seen:
    """Run on the floor; the compiled engine gives the same sums."""
    seen = run_shop(works)
    fast = run_fast(seen.plan, 1, 0)
    for name, value in vars(seen.tally).items():
        assert np.array_equal(value, getattr(fast, name)), name
    return seen


# --- people -------------------------------------------------------------------------------------------------------


def test_people_go_when_what_is_left_of_the_shift_is_over() -> None:
    """Six minutes are left: two parts of three minutes. Tuesday loads at 16, 19, 22 and 25, the last one cut by 28."""
    people = {"operators": {"by_shift": [1, 0]}}
    seen = on_both(a_shop({"Op 10": LOADED}, length=30.0, people=people, calendar=WEEK, now=begun("monday", 1, 4)))
    assert seen.spans_in("Op 10", State.WAITING_FOR_OPERATOR) == [(6.0, 16.0), (28.0, 30.0)]
    assert seen.tally.shift_attended_min.tolist() == [[16.0, 0.0], [0.0, 0.0]]


def test_the_week_goes_on_with_its_monday() -> None:
    """On Tuesday's second shift one attends, who is one more than on Monday's first: nobody."""
    people = {"operators": {"by_shift": [1, 1], "by_day": {"monday": [0, 1]}}}
    seen = on_both(a_shop({"Op 10": LOADED}, length=30.0, people=people, calendar=WEEK, now=begun("tuesday", 2, 7)))
    assert seen.spans_in("Op 10", State.WAITING_FOR_OPERATOR) == [(3.0, 13.0)]


@pytest.mark.parametrize(("after", "waits"), [(4.0, (1.0, 3.0)), (6.0, (0.0, 1.0)), (7.0, None)])
def test_a_break_that_has_begun_goes_on_and_one_that_is_over_is_over(after: float, waits: Any) -> None:
    """From the fifth to the seventh minute of the shift."""
    people = {"operators": {"breaks": [{"after": 5, "minutes": 2}]}}
    operation = LOADED | {"minutes": 0.25, "load": 0.25}
    works = a_shop({"Op 10": operation}, length=3.0, people=people, calendar=WEEK, now=begun("monday", 2, after))
    assert on_both(works).spans_in("Op 10", State.WAITING_FOR_OPERATOR) == ([waits] if waits else [])


# --- cutters ------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(("parts", "after", "due"), [(3, 4.0, 6.0), (3, 0.0, 0.0), (5, 4.0, 0.0), (0, 4.0, 6.0)])
def test_a_set_that_is_changed_every_shift_is_due_as_the_shift_ends(parts: int, after: float, due: float) -> None:
    """A part a minute. One that has cut for longer than the shift runs was put in before it, and is due at once."""
    now = begun("tuesday", 1, after, lines={"line": {"Op 10": {"edges": {"tool": parts}}}})
    seen = on_both(
        a_shop(
            {"Op 10": {"minutes": 1, "sets": ["tool"]}}, length=9.0, rule={"shift": 1}, calendar=WEEK, now=now,
            cutters={"tool": a_tool(change=2, sets=9, life=1e9, breaking="never")},
        )
    )  # fmt: skip
    assert seen.spans_in("Op 10", State.CHANGING)[0] == (due, due + 2.0)


def test_a_magazine_is_renewed_before_the_first_part_of_the_next_shift() -> None:
    """One drill is used by 3. The shift ends at 6, its next part at 6.125: two are renewed in a minute and four."""
    magazine = {"sisters": {"drill": 9}, "exchange": "7.5 s", "renewed": "every shift"}
    operation = {"minutes": 1, "sets": ["drill"], "setters": "setters", "access": 1, "magazine": magazine}
    seen = on_both(
        a_shop(
            {"Op 10": operation}, length=12.0, rule={"parts": 3}, people={"setters": {}}, calendar=WEEK,
            cutters={"drill": a_tool(sets=40, change=2, breaking="never")}, now=begun("tuesday", 2, 4),
        )
    )  # fmt: skip
    assert seen.spans_in("Op 10", State.CHANGING) == [(3.0, 3.125), (6.125, 11.125)]


# --- warmth, room, heats ------------------------------------------------------------------------------------------


def faces(castings: int, after: float, now: dict[str, Any], **works: Any) -> list[float]:
    """Errors of a face of 240 mm after a minute of cutting and one of loading, in a day of ten minutes."""
    cut = a_cut(leaves={"own_position": 0.0, "own_form": 0.0})
    operation = {"strokes": {"stroke": {"cuts": {"cut": cut}}}, **works.pop("operation", {})}
    face = {"size": {"limits": [239.0, 241.0]}, "length": 430.0}
    seen = on_both(
        a_shop(
            {"Op 10": {**operation, "load": 1.0, "locating": {"on": "bottom", "pads": 300.0}}}, castings=castings,
            line={"features": {"face": face, "bottom": {"length": 600.0}}}, length=100.0, calendar=ONE_SHIFT,
            cutters={"blade": a_blade(life=1e9, sets=20)}, now=begun("tuesday", 1, after, **now), **works,
        )
    )  # fmt: skip
    return seen.errors("Op 10")


def test_a_machine_that_is_warm_begins_cold_with_the_next_day() -> None:
    """Set warm, half warm now: 15 µm too little at minute 1. The day ends at minute 3 as the second cut begins."""
    warm = {"rise": 30.0, "minutes": 60.0, "cools": 90.0, "set_warm": 1.0, "cold": "every day"}
    now = {"lines": {"line": {"Op 10": {"warm": 0.5}}}}
    errors = faces(2, 7.0, now, operation={"warm_up": warm})
    assert errors == pytest.approx([30.0 * (1.0 - 0.5 * math.exp(-1.0 / 90.0)), 30.0], abs=1e-4)


def test_the_room_is_as_warm_as_at_that_hour() -> None:
    """Warmest in the middle of the day, 3 K: a face at 240 mm comes out 240 x 10.8 x 3 / 1000 = 7.776 µm too low."""
    assert faces(1, 4.0, {}, room={"swing": 3.0}) == pytest.approx([-7.776], abs=1e-3)


def test_a_heat_of_castings_ends_with_its_day() -> None:
    """A day has 30 min: after 20 on Tuesday the casting at 0 is of the second heat, the other three of the third."""

    def heat(number: int) -> float:
        return lognormal_value(1.0, 0.3, normals(1, 0, int(Purpose.HEAT), 0, number, 0)[0])

    seen = on_both(
        a_shop(
            {"Op 10": {"minutes": 10, "sets": ["tool"]}}, castings=4, length=1000.0, now=begun("tuesday", 1, 20),
            cutters={"tool": a_tool(life=60, life_cv=0, breaking="never")}, calendar={"shift": 30, "shifts_per_day": 1},
            line={"casting": {"heats": {"of": "day", "life": 0.3}}},
        )
    )  # fmt: skip
    share = seen.floor.machines[0].mounts[0].life_share
    assert share == pytest.approx(10.0 / (60.0 * heat(1)) + 30.0 / (60.0 * heat(2)), abs=1e-12)


# --- what does not go by the calendar -----------------------------------------------------------------------------


@pytest.mark.parametrize("rule", ["run out", {"gauge": {"size": 12.1}}], ids=["when a part fails", "by the gauge"])
def test_what_a_gauge_says_reaches_the_edge_that_cut_the_part(rule: Any) -> None:
    """It recedes 0.3 µm a part: after 40 parts the next stand 12, 12.3, 12.6 and 12.9 µm out."""
    operation = {
        "strokes": {"stroke": {"cuts": {"cut": a_cut()}}},
        "gauges": {"gauge": {"feature": "face", "tries": 0, "reject": "scrap", "limits": [99.9872, 100.0128]}},
    }
    features = {"features": {"face": {"size": {"limits": [99.9, 100.1]}}}}
    now = begun("tuesday", 2, 4, lines={"line": {"Op 10": {"edges": {"blade": 40}}}})
    works = a_shop({"Op 10": operation}, line=features, length=5.5, rule=rule, now=now,
                   cutters={"blade": a_blade(change=1, sets=9)})  # fmt: skip
    starts = [start for start, _ in on_both(works).spans_in("Op 10", State.CHANGING)]
    assert starts == [4.0 if rule == "run out" else 2.0]


def test_a_line_that_asks_no_calendar_runs_alike_whenever_it_begins() -> None:
    """In what is left of its shift, gauges and offsets with it."""
    works = load_works(Path("scenarios/crankcase-line.yaml"))
    works = changed(works, {"run": {"warm_up": 0, "length": 350}, "room": None})
    runs = [
        [run(make_plan(changed(works, {"now": now}), works.todays_policy), 5, 0) for run in (run_floor, run_fast)]
        for now in ({}, begun("wednesday", 1, 123.25))
    ]
    assert runs[0][0].corrections.sum() > 0
    for name, value in vars(runs[0][0]).items():
        for tally in (runs[0][1], *runs[1]):
            assert np.array_equal(value, getattr(tally, name)), name


# --- said and refused ---------------------------------------------------------------------------------------------

TEXT = """name: a line
calendar: {{shift: 8 h, shifts_per_day: 2, days_per_week: 5}}
run: {{warm_up: 0}}
lines:
  line:
    operations: {{Op 10: {{minutes: 1}}}}
policies: {{none: {{default: run out}}}}
now:
  at:
    day: {day}
    shift: {shift}
    after: {after}
"""


def test_a_moment_is_the_minute_of_the_week_and_is_written_and_read_in_a_workbook() -> None:
    works = works_from_text(TEXT.format(day="tuesday", shift=2, after="4.5 h"))
    assert works.begins_min == make_plan(works, "none").calendar_min == 3 * 480.0 + 270.0
    assert works_from_bytes(to_workbook(works), "a line.xlsx").now == works.now


@pytest.mark.parametrize(
    ("moment", "line", "told"),
    [
        (("saturday", 1, 0), 10, "saturday is not worked; the worked days of this calendar are"),
        (("tusday", 1, 0), 10, 'Did you mean "tuesday"'),
        (("monday", 3, 0), 11, "shift 3 is not worked; this calendar has 2 in a day"),
        (("monday", 0, 0), 11, "shift"),
        (("monday", 2, "8 h"), 12, "a shift is over after 480 min; found 480 min after its start"),
        (("monday", 2, "-1 min"), 12, "after"),
        (("monday", 2, "2 days"), 12, "after"),
    ],
)
def test_a_moment_that_cannot_be_is_refused_at_its_line(moment: tuple[Any, ...], line: int, told: str) -> None:
    day, shift, after = moment
    with pytest.raises(ScenarioError) as refused:
        works_from_text(TEXT.format(day=day, shift=shift, after=after))
    [problem] = refused.value.problems
    assert problem.line == line
    assert told in str(problem)
