"""People who come and go, hand jobs over and attend machines: floors worked out by hand, both engines at once."""

from __future__ import annotations

from typing import Any

import pytest

from linesim.plan.build import make_plan
from linesim.plan.tally import State
from linesim.works import works_from_dict
from tests.agree.twins import assert_twins_agree
from tests.floors import Seen, run_shop


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
