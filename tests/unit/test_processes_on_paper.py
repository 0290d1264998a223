"""What is said of blades on one bar and of wheels on paper, held to runs and to figures worked by hand."""

from __future__ import annotations

import math
from typing import Any

import numpy as np
import pytest

from linesim.desk import desk_figures
from linesim.routing.history import HistoryStudy
from linesim.routing.passes import CutPass, passes_of, state_as_cast, states_after
from linesim.study import StudyOptions, run
from linesim.works import Works
from tests.floors import a_blade, a_cut, a_shop

BAR = {"diameter": 66.0, "overhang": 230.0}
BORE = {"kind": "bore", "diameter": 80.0, "size": {"limits": [79.0, 81.0]}, "as_cast": {"spread": "200 um"}}


def two_blades(strokes: int = 1) -> Works:
    """A rough blade that wears and a finish blade on one bar, in one stroke or in two."""
    both = {"bar": BAR, "stiffness": 5.0, "copying": 0.05}
    cuts = {"rough": a_cut("rough", depth=2.0, **both), "finish": a_cut("finish", depth=0.5, **both)}
    one, two = {"rough": cuts["rough"]}, {"finish": cuts["finish"]}
    of = {"stroke": {"cuts": cuts}} if strokes == 1 else {"first": {"cuts": one}, "second": {"cuts": two}}
    cutters = {name: a_blade(life=1e9) for name in ("rough", "finish")}
    line = {"features": {"bore": BORE}}
    for cut in cuts.values():
        cut["feature"] = "bore"
    return a_shop({"Op 10": {"strokes": of}}, line=line, cutters=cutters, length=4000.0, rule={"parts": 10})


def wheel_works(parts: int, **wheel: Any) -> Works:
    """Seats bored before, ground by a wheel that glazes in 20 parts; a dressing takes 2 min and some wheel."""
    cut = a_cut("wheel", process="grinding", depth=0.15, minutes=0.5, copying=0.05, repeatability=2.0, spark_out=0.2)
    own = {"g_ratio": 80.0, "track": 126.0, "wear_to_size": 0.15, "glazed_roughness": 1.4, **wheel}
    of = {
        **a_blade(clearance_angle=None), "grade": "vitrified wheel 60", "diameter": 45.0, "life": 60.0, "price": 24.0,
        "sharp_roughness": 0.6, "change": 2.0, "wheel": own,
        "renewal": {"dressed": {"stock": 6.0, "takes": 30.0, "cost": 0.5, "by_machine": True}},
    }  # fmt: skip
    seats = {
        "kind": "run-out", "places": 6, "size": {"limits": [0.0, 0.05], "loss_at_limit": 6.0},
        "roughness": {"limit": 1.3, "loss_at_limit": 2.0}, "as_cast": {"spread": "40 um", "roughness": 6.0},
    }  # fmt: skip
    cut["feature"] = "seats"
    operation = {"strokes": {"grind": {"cuts": {"grind": cut}}}, "rate": 80.0}
    line = {"features": {"seats": seats}, "worth": 40.0}
    return a_shop({"Op 10": operation}, line=line, cutters={"wheel": of}, length=20_000.0, rule={"parts": parts})


@pytest.mark.parametrize("strokes", [1, 2])
def test_the_spread_on_paper_is_that_of_runs(strokes: int) -> None:
    """The standard deviation of n parts lies within 4 / sqrt(2 n) of the true one, but for once in 16 000 runs."""
    works = two_blades(strokes)
    passes = passes_of(works, "line", "bore")
    state = states_after(state_as_cast(works, "line", "bore"), passes)[-1]
    result = run(works, "as stated", seed=5, engine="simpy")
    sizes, shipped = result.characteristics, result.lines["shipped"].iloc[0]
    row = sizes[sizes["characteristic"] == "size"].iloc[0]
    seen = 1000.0 * float(row["sd"]) / 2.0
    assert state.sd_um == pytest.approx(seen, rel=4.0 / math.sqrt(2.0 * float(shipped)))


def test_one_stroke_leaves_more_than_two() -> None:
    spreads = []
    for strokes in (1, 2):
        works = two_blades(strokes)
        passes = passes_of(works, "line", "bore")
        assert all(isinstance(each, CutPass) for each in passes)
        spreads.append(states_after(state_as_cast(works, "line", "bore"), passes)[-1].sd_um)
    assert spreads[1] == pytest.approx(200.0 * 0.05 * 0.05)
    assert spreads[0] > 10.0 * spreads[1]


def test_blades_on_one_bar_are_said_to_be_one_cut() -> None:
    assert any('"rough" and "finish" sit on one bar' in text for text in desk_figures(two_blades()).remarks)
    assert not any("sit on one bar" in text for text in desk_figures(two_blades(2)).remarks)
    assert any('on one bar behind "rough"' in text for text in desk_figures(two_blades()).assumptions)


def test_a_wheel_that_may_burn_is_said() -> None:
    """e_burn = 6.2 + 7.2 x 45**0.25 x 0.02**-0.75 x 200**-0.5 = 31.0: a wheel of 20 J/mm³ passes it at w = 0.55."""
    limit = 6.2 + 7.2 * 45.0**0.25 * 0.02**-0.75 * 200.0**-0.5
    share = limit / 20.0 - 1.0
    assert 0.3 < share < 0.8
    dull, fresh = wheel_works(20), wheel_works(2)
    assert any("J/mm³" in text for text in desk_figures(dull).remarks)
    assert not any("J/mm³" in text for text in desk_figures(fresh).remarks)
    assert any("Look for burns" in finding.text for finding in run(dull, "as stated", engine="simpy").findings)
    assert not any("Look for burns" in finding.text for finding in run(fresh, "as stated", engine="simpy").findings)


@pytest.mark.longer
def test_the_best_dressing_lies_between_each_part_and_glazed() -> None:
    """Out of size loss, roughness loss and minutes alone; contribution an hour of the line, the same castings."""
    earned, sizes, rough = [], [], []
    for parts in (1, 2, 4, 8, 20, 60):
        result = run(wheel_works(parts), "as stated", seed=3, engine="simpy")
        earned.append(float(result.lines["contribution_per_hour"].iloc[0]))
        table = result.characteristics.set_index("characteristic")
        sizes.append(float(table.loc["size", "mean"]))
        rough.append(float(table.loc["roughness", "mean"]))
    assert 0 < int(np.argmax(earned)) < 5
    assert sizes == sorted(sizes)
    assert rough == sorted(rough)


@pytest.mark.late
@pytest.mark.parametrize(
    ("works", "feature", "source"),
    [(two_blades(), "bore", "leading blade"), (wheel_works(8), "seats", "wheel worn and glazed")],
)
def test_the_account_of_an_error_names_leader_and_wheel(works: Works, feature: str, source: str) -> None:
    """The follower holds its sum against every part of the run to 1e-6 µm, or it stops with an error."""
    options = StudyOptions(replications=1, seed=3)
    arising = HistoryStudy(works, feature, options=options).run().arising
    rows = arising[arising["source"] == source]
    assert float(rows["share"].sum()) > 0.3
