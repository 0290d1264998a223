"""Both engines on lines of odd shapes drawn at random: every part, every minute and every count is the same."""

from __future__ import annotations

from random import Random

import numpy as np
import pytest

from linesim.plan.build import make_plan
from tests.agree.shape_at_random import random_shape
from tests.agree.twins import assert_twins_agree


@pytest.mark.parametrize("seed", range(40))
def test_the_engines_agree_on_lines_of_odd_shapes(seed: int) -> None:
    assert_twins_agree(make_plan(random_shape(Random(seed)), "as stated"), seed)


def test_the_shapes_of_fixed_seeds_leave_nothing_out() -> None:
    names = ("batches_begun", "turned_down", "repairs", "scrapped", "breakdowns", "turned_away", "shipped")
    names += ("is_stuck",)
    counts = dict.fromkeys(names, 0)
    for seed in range(40):
        tally = assert_twins_agree(make_plan(random_shape(Random(seed)), "as stated"), seed)
        for name in names:
            counts[name] += int(np.sum(getattr(tally, name) > 0))
    assert min(counts.values()) > 2, counts
