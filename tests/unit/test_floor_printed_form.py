"""Form that a leading blade and a worn wheel print, and that a stone takes out; figures worked by hand."""

from __future__ import annotations

import math
from typing import Any

import pytest

from linesim.plan.build import make_plan
from linesim.works import Works
from tests.agree.twins import assert_twins_agree
from tests.floors import a_blade, a_cut, a_shop, run_shop

FORM = {"form": {"limit": 50.0}}
BORE = {"kind": "bore", "size": {"limits": [79.0, 81.0]}, "length": 165.0, **FORM}


def shop(cutters: dict[str, Any], cuts: dict[str, Any], feature: dict[str, Any]) -> Works:
    operation = {"strokes": {"stroke": {"cuts": cuts}}}
    return a_shop({"Op 10": operation}, line={"features": {"face": feature}}, cutters=cutters, castings=12)


def form_um(works: Works, part: int = 0, place: int = 0) -> float:
    """Form of a place after the operation, on which both engines agree."""
    assert_twins_agree(make_plan(works, "as stated"))
    return run_shop(works).of_parts("complete", "Op 10")[part].form_um[place]


def two_blades(second: dict[str, Any], **first: Any) -> Works:
    bar = {"diameter": 66.0, "overhang": 230.0}
    given = {"speed": 90.0, "feed": 0.25, "length": 100.0, "stiffness": 25.0}
    rough = a_cut("rough", depth=2.0, bar=bar, **given, **first)
    finish = a_cut("finish", depth=0.1, bar={**bar, **second}, **given)
    blade = {"diameter": 80.0, "nose_radius": 0.8, "life": 1e9}
    return shop({"rough": a_blade(**blade), "finish": a_blade(**blade)}, {"rough": rough, "finish": finish}, BORE)


def test_a_leading_blade_prints_its_unsteady_force_into_the_form() -> None:
    """A fifth of its force in the skin, a tenth below it (assumed), over the give of the bar and of the machine.

    Force by the chip at a nose of 0.8 mm: 0.6 of 1160 h^-0.26 a f, turned by the circle of the nose.
    """
    edge_mm, along_mm = 0.8 * math.pi / 2.0 + 2.0 - 0.8 + 0.125, 0.8 + 0.125
    force_n = 0.6 * 1160.0 * (0.5 / edge_mm) ** -0.26 * 0.5 * along_mm / math.hypot(2.0, along_mm)
    give_um_n = 1000.0 * 230.0**3 / (3.0 * 206e3 * math.pi * 66.0**4 / 64.0) + 1.0 / 25.0
    assert form_um(two_blades({})) == pytest.approx(0.2 * force_n * give_um_n, rel=1e-6)
    assert form_um(two_blades({}, in_skin=False)) == pytest.approx(0.1 * force_n * give_um_n, rel=1e-6)


def test_a_blade_on_a_bar_of_its_own_prints_nothing() -> None:
    assert form_um(two_blades({"diameter": 70.0})) == pytest.approx(0.0, abs=1e-9)


def test_a_wheel_prints_three_tenths_of_its_wear() -> None:
    """Track 40 pi mm, stock 0.15 mm, wheel 45 mm, G 20: 40 µm with each part of six seats."""
    made = {"g_ratio": 20.0, "track": 40.0 * math.pi, "wear_to_size": 0.0}
    base = {"grade": "vitrified wheel 60", "diameter": 45.0, "life": 10.0, "sharp_roughness": 0.5, "wheel": made}
    wheel = {**a_blade(clearance_angle=None), **base, "renewal": {"dressed": {"dressings": 1000}}}
    cut = a_cut("wheel", process="grinding", depth=0.15, minutes=0.25)
    works = shop({"wheel": wheel}, {"grind": cut}, {"places": 6, "size": {"limits": [0.0, 1.0]}, **FORM})
    assert form_um(works) == pytest.approx(0.0, abs=1e-9)
    assert form_um(works, 1) == pytest.approx(0.3 * 40.0, abs=1e-3)
    assert form_um(works, 1, 3) == pytest.approx(0.3 * 60.0, abs=1e-3)


@pytest.mark.parametrize(("depth_mm", "left_um"), [(0.02, 20.0), (0.3, 6.0)])
@pytest.mark.parametrize("stops", ["by time", "at size"])
def test_a_stone_takes_out_as_much_form_as_metal_and_leaves_its_share(
    depth_mm: float, left_um: float, stops: str
) -> None:
    """40 µm found: 20 taken leave 20; 300 taken leave 0.15 of it; the stone adds 1 µm of its own (assumed)."""
    cut = a_cut("stones", process="honing", depth=depth_mm, minutes=None, copying=None, removal=25.0, stops=stops)
    stones = {**a_blade(clearance_angle=None, life=1e9), "grade": "honing stone 220"}
    works = shop({"stones": stones}, {"hone": cut}, BORE | {"as_cast": {"form": 40.0}})
    assert form_um(works) == pytest.approx(math.hypot(left_um, 1.0))
