"""Both engines on magazines with sister cutters: every part, every minute and every count is the same."""

from __future__ import annotations

from random import Random

import pytest

from linesim.floor.run import run_floor
from linesim.plan.build import make_plan
from linesim.plan.plan import Plan
from tests.agree.magazines_at_random import works_with_magazines
from tests.agree.twins import assert_twins_agree

_SEEDS = range(20)


def _plan(seed: int) -> Plan:
    return make_plan(works_with_magazines(Random(seed)), "one")


@pytest.mark.parametrize("seed", _SEEDS)
def test_the_engines_agree_on_magazines(seed: int) -> None:
    assert_twins_agree(_plan(seed), seed)


def test_the_drawn_magazines_leave_nothing_out() -> None:
    counts = dict.fromkeys(("taken_over", "stops", "in_place", "unplanned", "load_alarms", "load_missed"), 0)
    for seed in _SEEDS:
        tally = run_floor(_plan(seed), seed, 0)
        for name in counts:
            counts[name] += int(getattr(tally, name).sum())
    assert min(counts.values()) > 30, counts
