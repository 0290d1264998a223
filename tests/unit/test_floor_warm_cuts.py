"""The heat of heavy cuts on the floor: figures of the sheet, worked out by hand, through a scenario."""

from __future__ import annotations

from typing import Any

import pytest

from linesim.errors import ScenarioError
from linesim.plan.build import make_plan
from linesim.plan.figures import cut_figures
from linesim.routing.account import account_of_run
from linesim.routing.sources import Source
from linesim.works import Works
from tests.floors import a_blade, a_cut, a_shop, run_shop

EVEN = {"even iron": {"based_on": "EN-GJL-250", "kc11_n_mm2": 2000.0, "mc": 1e-9}}
"""2 J for each mm³, however thick the chip is."""
HEAVY_UM, LIGHT_UM = 5.7957, 0.44582
"""Growth of 240 mm by 3.9 mm and by 0.3 mm off 200 x 430 mm, a tenth of 2 J/mm³ into 60 kg: 2.2360 and 0.1720 K."""


def milled(depth: float, **entries: Any) -> dict[str, Any]:
    motion = {"width": 200.0, "length": 430.0, "speed": 100.0, "feed": 0.13, "minutes": None}
    return a_cut("mill", process="milling", depth=depth, **motion, **entries)


def works(operations: dict[str, dict[str, Any]], mass: float | None, feature: dict[str, Any] | None = None) -> Works:
    """Operations by their strokes, each stroke one cut."""
    face = {"size": {"limits": [239.0, 241.0]}, **(feature or {})}
    stations = {
        name: {"strokes": {stroke: {"cuts": {stroke: cut}} for stroke, cut in strokes.items()}}
        for name, strokes in operations.items()
    }
    line = {
        "material": "even iron",
        "features": {"face": face},
        "casting": {} if mass is None else {"mass": mass},
    }
    own = {"handbook": {"materials": EVEN, "grades": {"plain": {"based_on": "carbide", "force_growth": 0.0}}}}
    mills = {"mill": a_blade(life=1e9, diameter=250.0, teeth=12, nose_radius=0.01)}
    return a_shop(stations, line=line, cutters=mills, castings=1, length=100.0, **own)


def grown_um(operations: dict[str, dict[str, Any]], at: str, feature: dict[str, Any] | None = None) -> float:
    """By how much the heat moves the size of the first part behind an operation."""
    warm, cold = (run_shop(works(operations, mass, feature)).errors(at)[0] for mass in (60.0, None))
    return warm - cold


def test_a_face_cut_warm_is_too_low_when_it_has_cooled() -> None:
    assert grown_um({"Op 10": {"rough": milled(3.9)}}, "Op 10") == pytest.approx(-HEAVY_UM, abs=1e-4)


def test_by_the_next_operation_the_part_has_cooled() -> None:
    apart = {"Op 10": {"rough": milled(3.9)}, "Op 20": {"finish": milled(0.3)}}
    assert grown_um(apart, "Op 20") == pytest.approx(-LIGHT_UM, abs=1e-5)


def test_in_one_clamping_the_finish_cut_meets_the_heat_of_the_rough_one() -> None:
    together = {"Op 10": {"rough": milled(3.9), "finish": milled(0.3)}}
    assert grown_um(together, "Op 10") == pytest.approx(-HEAVY_UM - LIGHT_UM, abs=1e-4)


def test_a_pocket_cut_warm_is_too_shallow_and_where_an_axis_stands_does_not_move() -> None:
    rough = {"Op 10": {"rough": milled(3.9)}}
    assert grown_um(rough, "Op 10", {"kind": "depth"}) == pytest.approx(HEAVY_UM, abs=1e-4)
    assert grown_um(rough, "Op 10", {"kind": "position"}) == 0.0


def test_the_heat_stands_in_the_account_and_in_what_is_assumed() -> None:
    of_part = works({"Op 10": {"rough": milled(3.9)}}, 60.0)
    (figures,) = cut_figures(of_part).values()
    assert "10% of the heat of cuts into the part: 2.2 K, 5.8 µm of its size" in figures.assumed
    account = account_of_run(make_plan(of_part, "as stated"), 0, 0, 1, 0)
    assert account.mean[-1, Source.CUT_HEAT] == pytest.approx(-HEAVY_UM, abs=1e-4)
    assert account.mean[-1, Source.OWN_SIZE] == 0.0


def test_a_cut_of_which_only_the_minutes_are_known_warms_nothing() -> None:
    timed = {"Op 10": {"rough": a_cut("mill", process="milling", depth=3.9)}}
    assert grown_um(timed, "Op 10") == 0.0


def test_a_mass_is_more_than_nothing() -> None:
    with pytest.raises(ScenarioError, match="it must be above 0 kg"):
        works({"Op 10": {"rough": milled(3.9)}}, 0.0)
