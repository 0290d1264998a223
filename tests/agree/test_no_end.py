"""Runs that would never end, and lines that can never move again: both engines say so, in the same words."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import numpy as np
import pytest

from linesim.plan.build import make_plan
from linesim.plan.tally import State
from linesim.result.words import findings_of
from linesim.works import Works, works_from_dict
from tests.agree.twins import assert_twins_agree, both_refuse
from tests.builders import flow_line

_REAMER = {"sets": 2, "life": 9, "breaking": "never"}


def _two_lines(reamer: dict[str, Any]) -> Works:
    """One line that needs a reamer in its second operation, and one that needs nothing."""
    cut = {"minutes": 2, "buffer": 2}
    return works_from_dict(
        {
            "name": "two lines",
            "run": {"length": 1000, "warm_up": 0},
            "cutters": {"reamer": _REAMER | reamer},
            "lines": {
                "caps": {"operations": {"Op 10": cut, "Op 20": cut | {"sets": ["reamer"]}, "Op 30": cut}},
                "covers": {"operations": {"Op 10": {"minutes": 3}}},
            },
            "policies": {"by count": {"default": {"parts": 5}}},
        },
        "two lines",
    )


_GROUND = {"renewal": {"reground": {"stock": "3 mm", "per_wear_land": 1, "margin": "0.1 mm", "minutes": 20}}}


def test_a_line_that_can_never_move_is_found_beside_one_that_lives() -> None:
    works = _two_lines(_GROUND)
    # No scenario is let in without a grinder for what is reground, so the plan loses it here.
    plan = replace(make_plan(works, "by count"), grinders=0)
    tally = assert_twins_agree(plan)
    assert not tally.is_stuck
    assert tally.shipped.tolist() == [10, 333]
    assert np.isfinite(tally.stuck_from_min).tolist() == [True, True, True, False]
    assert tally.stuck_state.tolist() == [State.HELD_UP, State.WAITING_FOR_SET, State.WAITING_FOR_PART, -1]
    assert tally.stuck_for.tolist() == [-1, 0, -1, -1]
    told = [found.text for found in findings_of(works, plan, tally) if found.is_problem]
    assert told[0].startswith('Line "caps" can never move again from minute 28 on: ')
    assert 'waits for a sharp "reamer" that never comes' in told[0]
    assert told[1] == '"reamer" is reground, but the crib has no grinders; give it one, or buy the sets new.'
    assert not any('"covers"' in text for text in told)


def test_a_line_that_waits_long_is_not_taken_for_one_that_waits_for_ever() -> None:
    bought = {"renewal": {"bought": {}}, "lead_time": 1e6}
    for works in (_two_lines(bought), _two_lines(_GROUND)):
        tally = assert_twins_agree(make_plan(works, "by count"))
        assert np.isinf(tally.stuck_from_min).all()


def test_a_line_that_has_made_all_it_was_to_make_is_done_and_not_stuck() -> None:
    plan = make_plan(flow_line([2, 3], line={"casting": {"limit": 4}}, length=1_000, warm_up=0), "run out")
    assert np.isinf(assert_twins_agree(plan).stuck_from_min).all()


def test_without_pallets_no_machine_ever_gets_a_casting() -> None:
    plan = make_plan(flow_line([2, 3], length=1_000, warm_up=0), "run out")
    nobody = replace(plan, lines=plan.lines._replace(pallets=plan.lines.pallets * 0))
    assert assert_twins_agree(nobody).stuck_from_min.tolist() == [0.0, 0.0]


def test_castings_that_arrive_for_ever_at_one_instant_are_refused() -> None:
    works = flow_line([2], line={"casting": {"arrivals": {"between": {"listed": [1, 0]}}}}, length=100, warm_up=0)
    plan = make_plan(works, "run out")
    told = both_refuse(replace(plan, times=plan.times._replace(listed=plan.times.listed * 0.0)))
    assert told.startswith('at minute 0 more than 100000 castings of line "line" arrive without any time passing')


@pytest.mark.late
@pytest.mark.parametrize(
    ("line", "buffer"),
    [
        ({"casting": {"arrivals": {"between": 0.00001}}}, 0),
        ({"casting": {"arrivals": {"between": {"exponential": {"mean": 0.00001}}}}}, "unlimited"),
        pytest.param({}, "unlimited", marks=pytest.mark.longer),
    ],
    ids=["waiting outside", "before the first", "before the second"],
)
def test_a_queue_that_grows_for_ever_is_refused(line: dict[str, Any], buffer: int | str) -> None:
    first = 2 if line else 0.0001
    works = flow_line([first, 2], [buffer, "unlimited"], line=line, length=100, warm_up=0)
    told = both_refuse(make_plan(works, "run out"))
    assert 'more than 100000 parts are in line "line" or wait before it' in told
    minute = float(told.split()[2])
    assert minute == pytest.approx(1.0 if line else 10.0, rel=0.02)


def test_a_machine_that_breaks_down_for_ever_is_refused() -> None:
    operations = {"Op 10": {"breakdowns": {"between": 1e-300, "repair": 0}}}
    plan = make_plan(flow_line([2], operations=operations, length=100, warm_up=0), "run out")
    told = both_refuse(plan)
    assert "has broken down more than 100000 times in one cut" in told
    assert told.startswith('at minute 1.00001e-295 machine "Op 10"')
