"""A measuring room at an operation whose test turns parts down: what is swept back before it was counted."""

from __future__ import annotations

from typing import Any

import pytest

from linesim.plan.build import make_plan
from linesim.works import Works
from tests.agree.twins import assert_twins_agree
from tests.floors import a_blade, a_cut, a_shop, run_shop


def works(meanwhile: str, reject: str) -> Works:
    """Faces cut in a minute each and all turned down at first; every third cut is read a quarter of a minute later.

    From the first one on 50 µm are left standing, more than the drawing allows.
    """
    repair = {"minutes": 0.5, "benches": 3, "succeeds": 1}
    cut: dict[str, Any] = {
        "buffer": "unlimited", "strokes": {"stroke": {"cuts": {"cut": a_cut()}}},
        "gauges": {"gauge": {"feature": "face", "every": 3, "where": "measuring room", "reject": reject}},
        "measuring_room": {"carry": 0.25, "meanwhile": meanwhile},
        "turns_bad": {"chance": 1.0, "shift": "50 um", "minutes": 5},
        "test": {"floor": 0.999999, "at_limit": 0.1, "rejected": {"repair": repair}},
    }  # fmt: skip
    operations = {"Op 10": {"minutes": 1}, "Op 20": cut, "Op 30": {"minutes": 9, "buffer": "unlimited"}}
    line = {"features": {"face": {"size": {"limits": [99.98, 100.02]}}}}
    return a_shop(operations, line=line, length=5.9, cutters={"blade": a_blade(life=1e9)})


@pytest.mark.parametrize("meanwhile", ["quarantine", "sweep back"])
@pytest.mark.parametrize(("reject", "passed", "scrapped"), [("scrap", 0, 2), ("salvage", 1, 0)])
def test_a_part_that_is_swept_back_from_a_repair_has_not_passed(
    meanwhile: str, reject: str, passed: int, scrapped: int
) -> None:
    """The first part comes again at 3.0 and is read at 4.25; the second comes again at 5.0 and is sorted instead.

    The second was turned down at 3.0 and so has never passed: it is scrap, or goes back to be cut again.
    """
    shop = works(meanwhile, reject)
    tally = run_shop(shop).tally
    assert (tally.room_bad[1], tally.sorted[1], tally.sorted_bad[1]) == (1, 1, 1)
    assert (tally.passed[1], tally.first_pass[1], tally.scrapped[1].sum()) == (passed, 0, scrapped)
    assert_twins_agree(make_plan(shop, "as stated"), 0)
