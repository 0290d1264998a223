"""Both engines on magazines with sister cutters: every part, every minute and every count is the same."""

from __future__ import annotations

from dataclasses import fields
from random import Random

import pytest

from linesim.fast.run import run_fast
from linesim.plan.build import make_plan
from linesim.plan.plan import Plan
from tests.agree.magazines_at_random import works_with_magazines
from tests.agree.twins import assert_twins_agree
from tests.rounds import some_each_time

_SEEDS = range(20)


def _plan(seed: int) -> Plan:
    return make_plan(works_with_magazines(Random(seed)), "one")


@pytest.mark.parametrize("seed", some_each_time(_SEEDS, *range(8)))
def test_the_engines_agree_on_magazines(seed: int) -> None:
    assert_twins_agree(_plan(seed), seed)


def test_the_drawn_magazines_leave_nothing_out() -> None:
    counts = dict.fromkeys(("taken_over", "stops", "in_place", "unplanned", "load_alarms", "load_missed"), 0)
    counts |= {"probed": 0, "turned down by a probe": 0}
    for seed in _SEEDS:
        plan = _plan(seed)
        tally = run_fast(plan, seed, 0)
        for name in counts.keys() & {field.name for field in fields(tally)}:
            counts[name] += int(getattr(tally, name).sum())
        probes = plan.gauges.in_spindle > 0
        counts["probed"] += int(tally.readings[probes].sum())
        counts["turned down by a probe"] += int(tally.judged[probes, :, 1].sum())
    assert min(counts.values()) > 30, counts
