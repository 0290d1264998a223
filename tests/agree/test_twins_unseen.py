"""Both engines where cutters break unseen: every part, every minute and every count is the same."""

from __future__ import annotations

from random import Random

from linesim.plan.build import make_plan
from tests.agree.twins import assert_twins_agree
from tests.agree.unseen_at_random import works_with_unseen_breaks

_NAMES = ("broke_unseen", "cut_unseen", "probe_found", "break_probes", "unplanned")


def test_the_engines_agree_where_cutters_break_unseen() -> None:
    counts = dict.fromkeys(_NAMES, 0)
    for seed in range(24):
        tally = assert_twins_agree(make_plan(works_with_unseen_breaks(Random(seed)), "one"), seed)
        for name in _NAMES:
            counts[name] += int(getattr(tally, name).sum())
    assert min(counts.values()) > 10, counts
