"""People who come and go, hand jobs over and attend machines: floors worked out by hand, both engines at once."""

from __future__ import annotations

from typing import Any

import pytest

from linesim.plan.build import make_plan
from linesim.plan.tally import State
from linesim.works import works_from_dict
from tests.agree.twins import assert_twins_agree
from tests.floors import Seen, a_tool, run_shop


def seen_of(operation: dict[str, Any], people: dict[str, Any], length: float, **more: Any) -> Seen:
    """A line of one operation in shifts of 10 min, two a day, after both engines have been held to each other."""
    content = {
        "name": "people",
        "run": {"length": length, "warm_up": 0},
        "calendar": {"shift": 10, "shifts_per_day": 2},
        "people": people,
        "lines": {"line": {"operations": {"Op 10": operation}, **more.pop("line", {})}},
        "policies": {"as stated": {"default": "run out"}},
        **more,
    }
    works = works_from_dict(content, "people")
    assert_twins_agree(make_plan(works, "as stated"))
    return run_shop(works)


def parts_of(batch: int) -> dict[str, Any]:
    """Two part types in turn."""
    return {"parts": {"A": {"batch": batch}, "B": {"batch": batch}}}


@pytest.mark.parametrize(
    ("at_bell", "spans", "nobody_min", "jobs"),
    [
        ("finishes", [(8.0, 13.0), (21.0, 23.5)], 0.0, 2),
        ("hands over", [(8.0, 10.0), (20.0, 23.0)], 10.0, 1),
    ],
)
def test_a_changeover_in_hand_at_the_bell(at_bell: str, spans: list[Any], nobody_min: float, jobs: int) -> None:
    """Begun at 8 and 5 min long; the night from 10 to 20 has no setter."""
    people = {"setters": {"by_shift": [1, 0], "at_bell": at_bell}}
    seen = seen_of({"minutes": 1, "changeover": {"minutes": 5, "by": "setters"}}, people, 23.5, line=parts_of(8))
    assert seen.spans_in("Op 10", State.CHANGING_OVER) == spans
    assert seen.tally.nobody_min.tolist() == [nobody_min]
    assert seen.tally.jobs.tolist()[0] == jobs


def test_a_changeover_waits_while_all_have_their_break() -> None:
    """Begun at 2 and 4 min long; the break goes from 3 to 5."""
    people = {"setters": {"breaks": [{"after": 3, "minutes": 2}], "at_bell": "hands over"}}
    seen = seen_of({"minutes": 1, "changeover": {"minutes": 4, "by": "setters"}}, people, 9.5, line=parts_of(2))
    assert seen.spans_in("Op 10", State.CHANGING_OVER) == [(2.0, 3.0), (5.0, 8.0)]
    assert seen.spans_in("Op 10", State.WAITING_FOR_SETTER) == [(3.0, 5.0)]


def test_the_repair_of_a_machine_that_is_down_at_the_start_is_handed_over() -> None:
    """12 min are left: 10 of them until the bell, 2 in the morning."""
    people = {"fitters": {"by_shift": [1, 0], "at_bell": "hands over"}}
    now = {"lines": {"line": {"Op 10": {"down": 12}}}}
    seen = seen_of({"minutes": 1, "fitters": "fitters"}, people, 24.5, now=now)
    assert seen.spans_in("Op 10", State.UNDER_REPAIR) == [(0.0, 10.0), (20.0, 22.0)]
    assert seen.spans_in("Op 10", State.WAITING_FOR_FITTER) == [(10.0, 20.0)]
    assert seen.when("complete", "Op 10") == [23.0, 24.0]


def test_one_person_loads_two_machines_and_walks_between_them() -> None:
    """Loaded 0-2, 3-5, 6-8, 9-11 with a minute of walking behind each; each part is cut 4 min."""
    operation = {"minutes": 4, "load": 2, "machines": 2, "attended": {"by": "operators", "walk": 1}}
    seen = seen_of(operation, {"operators": {}}, 15.5)
    assert seen.when("complete", "Op 10") == [6.0, 9.0, 12.0, 15.0]
    assert seen.tally.state_min[:, State.WAITING_FOR_OPERATOR].tolist() == [0.0, 3.0]


def test_a_changeover_in_hand_is_finished_into_the_break() -> None:
    """Begun at 2 and 4 min long; of the break from 3 to 5 two minutes are worked, beyond what is attended."""
    people = {"setters": {"breaks": [{"after": 3, "minutes": 2}]}}
    seen = seen_of({"minutes": 1, "changeover": {"minutes": 4, "by": "setters"}}, people, 7.5, line=parts_of(2))
    assert seen.spans_in("Op 10", State.CHANGING_OVER) == [(2.0, 6.0)]
    assert seen.tally.shift_beyond_min.tolist()[0] == [2.0, 0.0]
    assert seen.tally.shift_attended_min.tolist()[0] == [5.5, 0.0]
    assert seen.tally.busy_min.tolist()[0] == 4.0


@pytest.mark.parametrize(("relieved", "attended_min"), [(True, 14.0), (False, 14.0)])
def test_a_break_is_taken_by_all_at_once_or_one_after_another(relieved: bool, attended_min: float) -> None:
    """Two people for 10 min, 3 min of break each: one is away for 6, or both for 3; at 4 one of them is still there."""
    people = {"operators": {"count": 2, "breaks": [{"after": 2, "minutes": 3, "relieved": relieved}]}}
    operation = {"minutes": 3, "load": 1, "attended": {"by": "operators"}}
    seen = seen_of(operation, people, 10.0)
    assert seen.tally.shift_attended_min.tolist()[0] == [attended_min, 0.0]
    assert seen.spans_in("Op 10", State.WAITING_FOR_OPERATOR) == ([] if relieved else [(4.0, 5.0)])


def test_who_unloads_loads_the_next_part_in_the_same_visit() -> None:
    """Loads 0-1, walks 1-2; unloads 5-6 and loads 6-7, walks 7-8; unloads from 11 on."""
    operation = {"minutes": 4, "load": 1, "unload": 1, "attended": {"by": "operators", "walk": 1}}
    seen = seen_of(operation, {"operators": {}}, 12.5)
    assert seen.when("complete", "Op 10") == [6.0, 12.0]
    assert seen.tally.jobs.tolist()[0] == 3
    assert seen.tally.busy_min.tolist()[0] == 6.5


def test_a_machine_runs_unattended_until_something_is_wanted() -> None:
    """Nobody comes on Tuesday, from 20 to 40: the part loaded up to 20 is still cut, then the machine waits."""
    people = {"operators": {"by_day": {"tuesday": [0, 0]}}}
    calendar = {"shift": 10, "shifts_per_day": 2, "days_per_week": 2}
    operation = {"minutes": 4, "load": 2, "attended": {"by": "operators"}}
    seen = seen_of(operation, people, 47.0, calendar=calendar)
    assert seen.when("complete", "Op 10") == [6.0, 12.0, 18.0, 24.0, 46.0]
    assert seen.spans_in("Op 10", State.WAITING_FOR_OPERATOR) == [(24.0, 40.0)]
    assert seen.tally.nobody_min.tolist() == [16.0]


def test_loading_is_handed_over_in_the_middle() -> None:
    """Loading from 9 on takes 2: one minute before the night from 10 to 20, one after it."""
    people = {"operators": {"by_shift": [1, 0], "at_bell": "hands over"}}
    operation = {"minutes": 7, "load": 2, "attended": {"by": "operators"}}
    seen = seen_of(operation, people, 28.5)
    assert seen.spans_in("Op 10", State.LOADING) == [(0.0, 2.0), (9.0, 10.0), (20.0, 21.0), (28.0, 28.5)]
    assert seen.spans_in("Op 10", State.WAITING_FOR_OPERATOR) == [(10.0, 20.0)]
    assert seen.when("complete", "Op 10") == [9.0, 28.0]


def test_edges_are_looked_at_by_whoever_attends() -> None:
    """A look of 1 min after every second part; he walks 2 min afterwards, so that the look at 4 waits for nobody."""
    operation = {"minutes": 2, "sets": ["tool"], "attended": {"by": "operators", "jobs": ["look"], "walk": 2}}
    look = {"check": {"every": 2, "past": 0.2, "minutes": 1}}
    policies = {"as stated": {"default": look}}
    seen = seen_of(operation, {"operators": {}}, 9.5, cutters={"tool": a_tool()}, policies=policies)
    assert seen.spans_in("Op 10", State.CHECKING) == [(4.0, 5.0), (9.0, 9.5)]
    assert seen.tally.busy_min.tolist()[0] == 3.5
