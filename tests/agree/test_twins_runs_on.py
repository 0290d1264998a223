"""Both engines on machines that run on while their first pieces are gauged on the bench beside them."""

from __future__ import annotations

from typing import Any

import pytest

from linesim.plan.build import make_plan
from linesim.works import Works
from tests.agree.twins import assert_twins_agree
from tests.floors import a_blade, a_cut, a_shop

FEATURES = {
    "face": {"size": {"limits": [99.988, 100.012]}, "as_cast": {"stock": 20}},
    "bore": {"kind": "bore", "places": 2, "size": {"limits": [79.98, 80.02]}, "as_cast": {"stock": 20}},
}
CUTS = {
    "rough": a_cut("rough", repeatability=5.0),
    "fine": a_cut("fine", repeatability=3.0, depth=0.3),
    "bore": a_cut("other", feature="bore", repeatability=4.0),
}
GAUGES = {"gauge": {"feature": "face", "error": 1.0, "tries": 1, "corrects": {"cut": "fine", "share": 0.5}}}
BLADE = a_blade(life=50, life_cv=0.2, sets=20, setting={"error": 8}, breaking={"shape": 3, "scale": 1.2})


def line(minutes: Any, bad: str, **entries: Any) -> Works:
    """Sets changed every five and three parts, edges that break, recuts, and a bench between two machines."""
    first = {"meanwhile": "runs on", "minutes": minutes, "by": "inspectors", "tries": 2, "accept": 2, "error": 1}
    operation = {"strokes": {"stroke": {"cuts": CUTS}}, "first_piece": first | {"bad": bad}, "gauges": GAUGES}
    operations = {
        "Op 10": {"minutes": 0.4},
        "Op 20": {**operation, **entries},
        "Op 30": {"minutes": 0.5 if "machines" in entries else 1.5},
    }
    return a_shop(
        operations, line={"features": FEATURES}, cutters=dict.fromkeys(("rough", "fine", "other"), BLADE), length=300.0,
        rule={"parts": 5}, exceptions={"other": {"parts": 3}}, people={"inspectors": {}},
    )  # fmt: skip


@pytest.mark.parametrize("entries", [{"machines": 2, "buffer": 2}, {}], ids=["two machines", "held up in a row"])
@pytest.mark.parametrize(("minutes", "bad"), [(0, "scrap"), (2, "salvage"), ({"exponential": {"mean": 4}}, "pass")])
def test_the_engines_agree_on_machines_that_run_on(minutes: Any, bad: str, entries: dict[str, Any]) -> None:
    tally = assert_twins_agree(make_plan(line(minutes, bad, **entries), "as stated"), 3)
    assert tally.first_gauged.sum() > 40
    assert (tally.first_scrapped.sum() > 10) == (bad == "scrap")
    assert (tally.first_salvaged.sum() > 5) == (bad == "salvage")
