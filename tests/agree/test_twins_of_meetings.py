"""Both engines where lines meet: drawn at random, and a meeting that changes nothing."""

from __future__ import annotations

from random import Random
from typing import Any

import numpy as np

from linesim.plan.build import make_plan
from linesim.plan.tally import State
from tests.agree.joins_at_random import random_meeting
from tests.agree.twins import assert_twins_agree
from tests.floors import a_shop

_NAMES = ("fellows_joined", "left_over", "fellows_min", "fit_square", "scrapped", "repairs", "is_stuck")


def test_the_engines_agree_where_lines_meet() -> None:
    counts = dict.fromkeys(_NAMES, 0)
    for seed in range(24):
        tally = assert_twins_agree(make_plan(random_meeting(Random(seed)), "as stated"), seed)
        for name in _NAMES:
            counts[name] += int(np.any(getattr(tally, name) > 0))
        counts["waits"] = counts.get("waits", 0) + int(tally.state_min[:, State.WAITING_FOR_FELLOW].any())
    assert min(counts.values()) > 2, counts


def test_fellows_that_are_back_in_time_change_nothing() -> None:
    def tally(off: Any, joins: Any) -> Any:
        cases = {
            "Op 10": {"minutes": {"exponential": {"mean": 2}}, "takes_off": off, "machines": 2},
            "Op 20": {"minutes": 2, "buffer": 2, "scrap_chance": 0.1},
            "Op 30": {"minutes": {"uniform": {"low": 1, "high": 3}}, "buffer": 2, "joins": joins},
        }
        caps: dict[str, Any] = {"operations": {"at once": {"minutes": 0}}, "casting": {} if off else {"limit": 1}}
        lines = {"cases": {"operations": cases}, "caps": caps}
        return assert_twins_agree(make_plan(a_shop(lines=lines, length=300, warm_up=20), "as stated"), 5)

    alone, meeting = tally(None, {}), tally("caps", {"caps": {}})
    cases = slice(0, 4)
    for name in ("state_min", "worked", "passed", "scrapped"):
        assert np.array_equal(getattr(alone, name)[cases], getattr(meeting, name)[cases]), name
    for name in ("shipped", "lead_min", "lead_square_min2", "in_line_min"):
        assert getattr(alone, name)[0] == getattr(meeting, name)[0], name
    # Caps whose case was scrapped are thrown out.
    assert meeting.left_over.tolist() == [meeting.scrapped_parts[0]] != [0]
