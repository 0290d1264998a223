"""Edges that hit sand in a casting's skin, on the floor; figures worked by hand, and both engines alike."""

from __future__ import annotations

from typing import Any

import pytest

from linesim.desk import desk_figures
from linesim.errors import ScenarioError
from linesim.plan.build import make_plan
from linesim.plan.tally import State
from linesim.works import Works
from tests.agree.twins import assert_twins_agree
from tests.floors import Seen, a_blade, a_cut, a_shop, run_shop

ALWAYS = {"chance": 1.0, "land": [0.1, 0.1], "breaks": 0.0}
"""With a thousand teeth each part widens the land by 0.1 mm, as good as surely; the limit is 0.3 mm."""


def sandy(sand: dict[str, Any] | None = None, parts: int = 3, **blade: Any) -> Works:
    """Faces cut once, with a blade that hardly wears and is changed after so many parts."""
    cutter = a_blade(**({"sets": 40, "teeth": 1000, "life": 1e12, "life_cv": 0.0} | blade))
    line = {"features": {"face": {}}, "casting": {"sand": ALWAYS if sand is None else sand}}
    strokes = {"strokes": {"stroke": {"cuts": {"cut": a_cut()}}}}
    return a_shop({"Op 10": strokes}, line=line, cutters={"blade": cutter}, castings=12, rule={"parts": parts})


def hits(seen: Seen) -> int:
    return int(seen.tally.sand_hits.sum())


def test_three_hits_of_a_tenth_take_an_edge_to_its_limit_of_three_tenths() -> None:
    seen = run_shop(sandy())
    assert [change.life_share for change in seen.changes[:3]] == pytest.approx([1.0] * 3)
    assert hits(seen) == 12


def test_the_part_that_is_hit_is_cut_with_the_chipped_edge() -> None:
    """An edge that recedes 30 µm at its limit leaves 10, 20 and 30 µm more with each tenth of land."""
    seen = run_shop(sandy())
    assert seen.errors("Op 10")[:4] == pytest.approx([10.0, 20.0, 30.0, 10.0])


def test_a_hit_that_breaks_the_edge_costs_the_part() -> None:
    seen = run_shop(sandy(ALWAYS | {"breaks": 1.0}))
    assert (int(seen.tally.unplanned.sum()), int(seen.tally.planned.sum()), hits(seen)) == (12, 0, 12)
    assert int(seen.tally.scrapped.sum()) == 12


def test_a_part_that_is_spared_is_cut_again_and_its_spot_is_gone() -> None:
    seen = run_shop(sandy(ALWAYS | {"breaks": 1.0}, broken="spares the part"))
    assert (int(seen.tally.unplanned.sum()), hits(seen), int(seen.tally.scrapped.sum())) == (12, 12, 0)
    assert int(seen.tally.shipped.sum()) == 12


def test_an_edge_breaks_on_the_way_through() -> None:
    """Half of a minute on average, so that twelve take twelve times some part of it and no more."""
    seen = run_shop(sandy(ALWAYS | {"breaks": 1.0}))
    cutting = [end - begin for begin, end in seen.spans_in("Op 10", State.CUTTING)]
    assert len(cutting) == 12
    assert all(0.0 < each < 1.0 for each in cutting)
    assert len({round(each, 6) for each in cutting}) == 12


def test_only_the_first_cut_of_a_feature_meets_the_skin() -> None:
    """Unless the cut says otherwise."""
    second = a_cut("fine")
    again = {"Op 10": {"strokes": {"stroke": {"cuts": {"cut": a_cut()}}, "again": {"cuts": {"second": second}}}}}
    cutters = {"blade": a_blade(life=1e12, teeth=1000), "fine": a_blade(life=1e12, teeth=1000)}
    line = {"features": {"face": {}}, "casting": {"sand": ALWAYS}}
    shop: dict[str, Any] = {"line": line, "cutters": cutters, "castings": 5, "rule": {"parts": 1000}}
    assert run_shop(a_shop(again, **shop)).tally.sand_hits.tolist() == [5, 0]
    second["in_skin"] = True
    assert run_shop(a_shop(again, **shop)).tally.sand_hits.tolist() == [5, 5]


def test_a_cutter_of_many_teeth_is_hit_more_often() -> None:
    """1 - exp(-0.3 * 6) = 0.8347 of parts, with six teeth of which each hits 0.3 times in a part."""
    plan = make_plan(sandy({"chance": 0.3}, teeth=6), "as stated")
    assert plan.cuts.hit_chance.tolist() == pytest.approx([0.834701], abs=1e-6)
    assert plan.cuts.hit_land_mm.tolist() == [0.05]
    assert plan.cuts.hit_land_more_mm.tolist() == pytest.approx([0.15])


@pytest.mark.parametrize("sand", [ALWAYS, ALWAYS | {"breaks": 0.5, "chance": 0.0004}, {"chance": 0.0003}])
@pytest.mark.parametrize(
    "blade", [{}, {"life": 20.0, "life_cv": 0.3}, {"seen_after": 2}, {"broken": "spares the part"}]
)
def test_both_engines_hit_alike(sand: dict[str, Any], blade: dict[str, Any]) -> None:
    assert_twins_agree(make_plan(sandy(sand, **blade), "as stated"), 5)


def test_the_desk_says_how_many_edges_are_hit() -> None:
    """1 - exp(-0.05 * 3) = 13.9 % of blades that cut three parts."""
    remarks = desk_figures(sandy({"chance": 0.05}, teeth=1)).remarks
    [text] = [each for each in map(str, remarks) if "hit sand" in each]
    assert "14 % of the edges" in text
    assert "3 parts" in text
    assert "20 % of hits break" in text


def test_lands_the_wrong_way_round_are_refused() -> None:
    with pytest.raises(ScenarioError, match="the smaller first"):
        sandy({"chance": 0.1, "land": [0.2, 0.1]})
