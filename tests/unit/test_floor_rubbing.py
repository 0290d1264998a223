"""Edges that meet less metal than they can cut, on the floor and said beforehand; figures worked by hand."""

from __future__ import annotations

from typing import Any

import pytest

from linesim.desk import desk_figures
from linesim.plan.build import make_plan
from linesim.plan.figures import cut_figures
from linesim.result.words import findings_of
from linesim.works import Works
from tests.agree.twins import assert_twins_agree
from tests.floors import Seen, a_blade, a_cut, a_shop, run_shop

BORE = {"kind": "bore", "size": {"limits": [79.0, 81.0]}, "places": 2}
SKIM = {"speed": 90.0, "feed": 0.25, "length": 100.0}


def skimming(depth_mm: float, edge_um: float, **entries: Any) -> Works:
    """Bores of two places skimmed for two minutes, the blade of 100 min changed after ten parts."""
    blade = a_blade(diameter=80.0, nose_radius=0.8, edge_radius=edge_um, sets=20)
    cut = a_cut(feature="bore", depth=depth_mm, **SKIM)
    operation = {"strokes": {"stroke": {"cuts": {"skim": cut}}}}
    shop = {"line": {"features": {"bore": BORE | entries}}, "cutters": {"blade": blade}, "rule": {"parts": 10}}
    return a_shop({"Op 10": operation}, castings=25, **shop)


def change(seen: Seen) -> tuple[str, float]:
    return seen.changes[0].why, seen.changes[0].life_share


def test_an_edge_that_rubs_is_charged_three_times_its_minutes_and_leaves_the_surface() -> None:
    """A chip of 0.3 x 0.3 mm needs far more than 10 µm: ten parts of two minutes count 60 of 100 min."""
    seen = run_shop(skimming(0.01, 300.0))
    assert change(seen) == ("due", pytest.approx(0.6))
    assert seen.errors("Op 10") == pytest.approx([10.0] * 25)
    assert int(seen.tally.rubbed.sum()) == 50


def test_an_edge_that_cuts_is_charged_its_minutes() -> None:
    seen = run_shop(skimming(0.5, 10.0))
    assert change(seen) == ("due", pytest.approx(0.2))
    assert int(seen.tally.rubbed.sum()) == 0


def test_only_places_that_meet_some_metal_but_too_little_rub() -> None:
    """Castings of 500 µm spread under a skim of 10: what lies lower is cut in the air, what stands higher is cut."""
    works = skimming(0.01, 300.0, as_cast={"spread": 500.0})
    blade = works.cutters["blade"].model_copy(update={"life": 1e12})
    works = works.model_copy(update={"cutters": {"blade": blade}})
    seen = run_shop(works)
    [figures] = cut_figures(works).values()
    met = [10.0 + error for values in seen.of_parts("loaded", "Op 10") for error in values.error_um]
    assert int(seen.tally.rubbed.sum()) == sum(0.0 < each < figures.least_metal_um for each in met) > 0
    assert min(met) < 0.0 < figures.least_metal_um < max(met)


def test_both_engines_charge_it_alike() -> None:
    """Half of the places have too little left by chance."""
    tally = assert_twins_agree(make_plan(skimming(0.05, 100.0, as_cast={"spread": 30.0}), "as stated"))
    assert 0 < int(tally.rubbed.sum()) < 50


def test_it_is_said_beforehand_and_after() -> None:
    works = skimming(0.01, 300.0)
    [said] = [text for text in desk_figures(works, "as stated").remarks if "rubs" in text]
    assert said.startswith('line, Op 10: "skim" is set to 10 µm, and its edge cuts no less than ')
    assert "it rubs, leaves the surface as it is" in said
    seen = run_shop(works)
    [found] = [each.text for each in findings_of(works, seen.plan, seen.tally) if "rubbed" in each.text]
    assert found.startswith('"blade" rubbed at 50 places')
    assert not any("rubs" in text for text in desk_figures(skimming(0.5, 10.0), "as stated").remarks)


def test_an_edge_that_rubs_only_when_worn_is_told_apart() -> None:
    """Edge of 30 µm: 9.6 µm when sharp and some 25 when worn (least chip 0.3 of the edge radius, from memory)."""
    [said] = [text for text in desk_figures(skimming(0.015, 30.0), "as stated").remarks if "rubs" in text]
    assert "it rubs once the edge is worn" in said
