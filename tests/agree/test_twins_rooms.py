"""Both engines on measuring rooms: every part, every minute and every count is the same."""

from __future__ import annotations

from random import Random

import numpy as np
import pytest

from linesim.fast.run import run_fast
from linesim.plan.build import make_plan
from linesim.plan.plan import Plan
from tests.agree.rooms_at_random import shape_with_rooms, works_with_rooms
from tests.agree.twins import assert_twins_agree
from tests.rounds import some_each_time

_SEEDS = [*range(32), 89]


def _plan(seed: int) -> Plan:
    return make_plan(works_with_rooms(Random(seed)), "one")


@pytest.mark.parametrize("seed", some_each_time(_SEEDS, *range(10), 89))
def test_the_engines_agree_on_measuring_rooms(seed: int) -> None:
    assert_twins_agree(_plan(seed), seed)


def test_the_engines_agree_on_rooms_in_lines_of_any_shape_and_of_several_types() -> None:
    """With ways, stations that take several parts at once, branches, tests and repairs."""
    names = ("batches_begun", "changeovers", "moving_min", "repairs", "sorted", "sorted_bad", "held_min", "room_bad")
    counts = dict.fromkeys(names, 0)
    for seed in range(40):
        tally = assert_twins_agree(make_plan(shape_with_rooms(Random(seed)), "as stated"), seed)
        for name in names:
            counts[name] += int(np.sum(getattr(tally, name) > 0))
    assert min(counts.values()) > 5, counts


def test_the_drawn_rooms_leave_nothing_out() -> None:
    names = ("room_read", "room_bad", "room_min", "sorted", "sorted_bad", "held_min", "room_work_min")
    counts = dict.fromkeys(names, 0.0)
    for seed in _SEEDS:
        tally = run_fast(_plan(seed), seed, 0)
        for name in names:
            counts[name] += float(getattr(tally, name).sum())
    assert min(counts.values()) > 20, counts
