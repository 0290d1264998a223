"""Both engines on lines of odd shapes drawn at random: every part, every minute and every count is the same."""

from __future__ import annotations

from random import Random

import numpy as np
import pytest

from linesim.fast.run import run_fast
from linesim.plan.build import make_plan
from tests.agree.shape_at_random import random_shape
from tests.agree.twins import assert_twins_agree
from tests.floors import a_shop
from tests.rounds import some_each_time


@pytest.mark.parametrize("seed", some_each_time(range(40), *range(14)))
def test_the_engines_agree_on_lines_of_odd_shapes(seed: int) -> None:
    assert_twins_agree(make_plan(random_shape(Random(seed)), "as stated"), seed)


def test_the_shapes_of_fixed_seeds_leave_nothing_out() -> None:
    names = ("batches_begun", "turned_down", "repairs", "scrapped", "breakdowns", "turned_away", "shipped")
    names += ("is_stuck",)
    counts = dict.fromkeys(names, 0)
    for seed in range(40):
        tally = run_fast(make_plan(random_shape(Random(seed)), "as stated"), seed, 0)
        for name in names:
            counts[name] += int(np.sum(getattr(tally, name) > 0))
    assert min(counts.values()) > 2, counts


def test_parts_that_wait_on_a_conveyor_hold_it_up_from_the_beginning() -> None:
    """Three stand on it as the run begins, before a machine that is down for 7.5 min; it stands for these."""
    belt = {"length": "3 m", "speed": "1 m/min", "pitch": "0.5 m", "accumulates": False}
    operations = {"Op 10": {"minutes": 2}, "Op 20": {"minutes": 3, "move": belt}}
    state = {"lines": {"line": {"Op 20": {"waiting": 3, "down": 7.5}}}}
    works = a_shop(operations, length=60, now=state)
    tally = assert_twins_agree(make_plan(works, "as stated"))
    # The first stands until 7.5; those behind come up to the end only then, and stand for the 3 min of a part each.
    assert tally.stood_min[1] >= 7.5 + 3.0 + 3.0
