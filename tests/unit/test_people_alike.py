"""People who always attend alike, or are never wanted twice at once, change nothing; more never slow a line down.

More operators: with like machines, fixed times and nothing but loading to attend to, the n-th loading begins when the
n-th machine and the earliest operator are there, a maximum of sums with fewer terms for more of them (see
`test_floor_monotone`).
"""

from __future__ import annotations

from dataclasses import fields
from random import Random
from typing import Any

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from linesim.errors import ScenarioError
from linesim.fast.run import run_fast
from linesim.floor.run import run_floor
from linesim.plan.build import make_plan
from linesim.plan.tally import Tally
from linesim.works import Works
from tests.agree.works_at_random import random_works
from tests.floors import a_shop, run_shop
from tests.strategies import steady

_BY_SHIFT = ("shift_attended_min", "shift_beyond_min", "shift_busy_min", "shift_queue_min")
_OF_PEOPLE = ("busy_min", "jobs", "waited_min", "queue_min")


def assert_same(first: Tally, second: Tally, but: tuple[str, ...]) -> None:
    """Two tallies are equal to the last bit in all but some fields."""
    for field in fields(Tally):
        if field.name not in but:
            one, other = getattr(first, field.name), getattr(second, field.name)
            np.testing.assert_array_equal(one, other, field.name)


def with_people(works: Works, shifts: int = 0, at_bell: str = "finishes") -> Works:
    """The works whose pools say of so many shifts how many attend, always as many; of none, and they are plain."""
    alike = {"by_day": {}, "breaks": [], "at_bell": at_bell}
    people = {
        name: pool.model_copy(update=alike | {"by_shift": [pool.count] * shifts}) for name, pool in works.people.items()
    }
    return works.model_copy(update={"people": people})


@pytest.mark.parametrize("at_bell", ["finishes", "hands over"])
@pytest.mark.parametrize("seed", range(4))
def test_a_pool_staffed_alike_in_every_shift_is_the_plain_pool(seed: int, at_bell: str) -> None:
    works = random_works(Random(seed))
    plain = with_people(works)
    staffed = with_people(works, shifts=works.calendar.shifts_per_day, at_bell=at_bell)
    assert all(pool.is_staffed for pool in staffed.people.values())
    for run in (run_floor, run_fast):
        first, second = run(make_plan(plain, "one"), seed, 0), run(make_plan(staffed, "one"), seed, 0)
        assert_same(first, second, (*_BY_SHIFT, *_OF_PEOPLE))
        for name in _OF_PEOPLE:  # summed in other pieces
            np.testing.assert_allclose(getattr(first, name), getattr(second, name), rtol=1e-9, err_msg=name)


def _attended(count: int, walk: float, **more: Any) -> dict[str, Any]:
    time = {"lognormal": {"mean": 3, "cv": 0.4}}
    operations = {
        f"Op {at}": {"minutes": time, "load": 0.3, "unload": 0.2, "machines": 2, "buffer": 2, **more} for at in (10, 20)
    }
    return {"operations": operations, "people": {"operators": {"count": count}}, "walk": walk}


def test_operators_who_are_never_wanted_twice_at_once_are_as_none() -> None:
    alone = _attended(4, 0.0)
    held = _attended(4, 0.0, attended={"by": "operators"})
    plain, attended = (a_shop(each["operations"], people=each["people"], length=600.0) for each in (alone, held))
    for run in (run_floor, run_fast):
        first, second = (run(make_plan(works, "as stated"), 7, 0) for works in (plain, attended))
        assert int(second.shipped[0]) > 200
        assert_same(first, second, _OF_PEOPLE)


def _loaded(operators: int, machines: int, minutes: int, load: int, walk: int) -> list[float]:
    attended = {"by": "operators", "jobs": ["load"], "walk": walk}
    operation = {"minutes": minutes, "load": load, "machines": machines, "attended": attended}
    return sorted(
        run_shop(a_shop({"Op 10": operation}, people={"operators": {"count": operators}}, length=120.0)).when(
            "complete", "Op 10"
        )
    )


@steady
@given(st.integers(1, 4), st.integers(1, 5), st.integers(1, 12), st.integers(1, 5), st.integers(0, 3))
def test_more_operators_never_slow_like_machines_down(
    operators: int, machines: int, minutes: int, load: int, walk: int
) -> None:
    fewer, more = (_loaded(count, machines, minutes, load, walk) for count in (operators, operators + 1))
    assert len(more) >= len(fewer) > 0
    assert all(early <= late for early, late in zip(more, fewer, strict=False))


def test_a_pool_that_never_attends_is_refused() -> None:
    with pytest.raises(ScenarioError, match="ever attends"):
        a_shop({"Op 10": {"minutes": 1}}, people={"operators": {"by_shift": [0, 0]}})
