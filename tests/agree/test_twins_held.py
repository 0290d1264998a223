"""Both engines on a line with locating, datums, fixtures, clamps, bow, warmth and gauges of shape at once."""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest

from linesim.cutting.component import Component
from linesim.plan.build import make_plan
from linesim.works import Works
from tests.agree.twins import assert_twins_agree
from tests.floors import a_blade, a_cut, a_shop

CHIP = {"thickness": 40.0, "scratch": 30.0, "chance": 0.4}
WARM = {"rise": 30.0, "minutes": 20.0, "cools": 15.0, "cold": "every day"}
CAST = {"stock": 20.0, "spread": 30.0, "tilt": 200.0, "form": 300.0}


def cuts(*features: str, **entries: Any) -> dict[str, Any]:
    """An operation that cuts some features with a copying factor that shows what was found."""
    made = {
        f"cut of {name}": a_cut(feature=name, copying=0.1, repeatability=2.0, leaves={"own_form": 3.0})
        for name in features
    }
    strokes = {f"stroke {at}": {"cuts": {name: cut}} for at, (name, cut) in enumerate(made.items())}
    return {"strokes": strokes, "load": 0.5, **entries}


def held_line(reject: str) -> Works:
    bore = {
        "kind": "bore", "diameter": 80.0, "places": 2, "length": 165.0, "height": 240.0,
        "as_cast": CAST | {"position": 300.0},
        "position": {"limit": 40.0, "loss_at_limit": 5.0, "loss_cap": 9.0}, "squareness": {"limit": 25.0},
        "form": {"limit": 45.0},
    }  # fmt: skip
    face = {
        "size": {"limits": [239.9, 240.1]}, "parallelism": {"limit": 80.0}, "form": {"limit": 60.0}, "length": 430.0,
        "thickness": 95.0, "as_cast": CAST,
    }  # fmt: skip
    seat = {"kind": "run-out", "size": {"limits": [0.0, 0.1]}, "height": 120.0, "length": 10.0, "places": 2}
    bottom = {"length": 600.0, "as_cast": CAST, "places": 1}
    gauge = {"feature": "bore", "reads": ["size", "position", "tilt", "form"], "limits": [79.9, 80.1], "reject": reject}
    errors = {"position_error": 4.0, "tilt_error": 3.0, "form_error": 5.0, "error": 1.0}
    on_bottom, on_bore = {"on": "bottom", "pads": 300.0}, {"on": "bore", "pads": 150.0}
    operations = {
        "Op 10": cuts("bottom", clamping={"bends": 8.0}),
        "Op 20": cuts(
            "bore", "face", locating=on_bottom, chips=CHIP | {"located_on": "bottom"}, warm_up=WARM,
            fixtures={"count": 3, "position": 6.0, "tilt": 9.0}, gauges={"square": gauge | errors},
        ),
        "Op 30": cuts("seat", locating=on_bore, fixtures={"measured": [{"position": 3.0, "tilt": 4.0}, {}]}),
        "Op 40": cuts("face", locating=on_bottom, fixtures={"count": "pallets", "position": 4.0, "tilt": 5.0}),
    }  # fmt: skip
    line = {"features": {"bore": bore, "face": face, "seat": seat, "bottom": bottom}, "pallets": 5}
    return a_shop(
        operations, line=line, cutters={"blade": a_blade(sets=20, life=60.0)}, rule={"parts": 20}, length=400.0,
        room={"swing": 3.0}, calendar={"shift": 120.0, "shifts_per_day": 1},
    )  # fmt: skip


@pytest.mark.parametrize("reject", ["scrap", "salvage", "pass"])
def test_both_engines_agree_on_how_true_parts_lie(reject: str) -> None:
    tally = assert_twins_agree(make_plan(held_line(reject), "as stated"), 7)
    moved = tally.square[:2, Component.POSITION :]
    assert tally.shipped[0] > 10
    assert np.count_nonzero(moved) == 5  # position of the bores; tilt and form of bores and face


@pytest.mark.parametrize("behind", [1.25, 2.0])
def test_the_engines_agree_on_machines_that_tilt_and_gauges_that_find_them(behind: float) -> None:
    """Single machines in a row; at 2 min the gauge speaks at the moment at which the bad machine takes a part."""
    bad = {"chance": 0.05, "tilt": 40.0, "shift": 2.0, "minutes": 3.0}
    face = {"length": 300.0, "parallelism": {"limit": 20.0}, "size": {"limits": [239.9, 240.1]}}
    gauge = {"gauge": {"feature": "face", "reads": ["tilt"], "tilt_error": 2.0, "tries": 0}}
    operations = {
        "Op 10": {"minutes": 1.0},
        "Op 20": cuts("face", locating={"on": "bottom", "pads": 300.0}, turns_bad=bad),
        "Op 30": {"minutes": behind, "gauges": gauge},
    }
    line = {"features": {"face": face, "bottom": {"length": 600.0}}}
    works = a_shop(operations, line=line, cutters={"blade": a_blade(life=1e9)}, length=600.0)
    tally = assert_twins_agree(make_plan(works, "as stated"), 5)
    assert tally.faults_found.sum() > 5
