"""Speed and feed: on paper, and what the line makes of them."""

from __future__ import annotations

import pytest

from linesim.errors import StudyError
from linesim.plan.figures import cut_figures
from linesim.routing import SpeedStudy, cut_named, speed_on_paper
from linesim.routing.edges import edge_cost
from linesim.routing.speed_paper import AS_IT_STANDS, FOR_THE_LINE, LEAST_COST, MOST_OUTPUT
from linesim.study import StudyOptions
from linesim.works import changed, load_works
from tests.builders import by_its_cuts

POLICY = "by its place in the line"


def test_an_edge_costs_its_share_of_the_set_and_of_the_people() -> None:
    works = load_works("scenarios/crankcase-line.yaml")
    operation = works.lines["crankcase"].operations["Op 20"]
    # Indexed with four edges: (196 + 3 x 2) / 4; the setter for 9 min and 3 min of access at 36 EUR/h.
    assert edge_cost(works, operation, "rough mill", 0.3) == pytest.approx(202.0 / 4.0 + 12.0 * 0.6)


def test_at_a_machine_with_time_to_spare_slower_is_cheaper_and_the_line_loses_nothing() -> None:
    """Op 30 of the block line; the difference in contribution is told apart at 95 % for three paired comparisons.

    The line is balanced, so the sides are first cut and handled as fast as can be. Without breakdowns, tests and what
    paper leaves out: on the line as it is they hide 5 EUR an hour in eight runs.
    """
    works = by_its_cuts("block")
    quiet = {name: {"test": None, "breakdowns": None} for name in works.lines["block"].operations}
    works = changed(works, {"lines": {"block": {"later": None, "operations": quiet}}})
    hurried = {"load": "2 min", "strokes": {"sides": {"cuts": {"sides": {"speed": "85 m/min", "feed": "0.11 mm"}}}}}
    works = changed(works, {"lines": {"block": {"operations": {"Op 30": hurried}}}})
    paper = speed_on_paper(works, cut_named(works, "sides"), POLICY)
    assert not paper.is_constraint
    assert paper.worth_per_min == 0.0
    found = paper.conditions
    assert found[FOR_THE_LINE].speed_m_min < found[LEAST_COST].speed_m_min < found[MOST_OUTPUT].speed_m_min
    answer = SpeedStudy(paper, StudyOptions(8)).run()
    rows = answer.table.set_index(["conditions", "measure"])
    output = rows.loc[(FOR_THE_LINE, "good_per_hour")]
    assert abs(output["less_as_it_stands"]) <= max(output["less_half_width"], 0.05)
    gain = rows.loc[(FOR_THE_LINE, "contribution_per_hour")]
    assert gain["is_apart"]
    assert gain["less_as_it_stands"] > 0.0


def test_at_the_constraint_a_minute_is_worth_the_parts_not_made_in_it() -> None:
    works = load_works("scenarios/block-line.yaml")
    paper = speed_on_paper(works, cut_named(works, "rough"), POLICY)
    assert paper.is_constraint
    found = paper.conditions
    assert found[LEAST_COST].speed_m_min < found[FOR_THE_LINE].speed_m_min < found[MOST_OUTPUT].speed_m_min
    assert found[AS_IT_STANDS].speed_m_min == 105.0


def test_the_finish_asked_for_bounds_the_feed_of_the_last_cut_only() -> None:
    """At the bound the worn edge leaves just the limit, be it by cusps, run-out or open graphite."""
    works = load_works("scenarios/block-line.yaml")
    key = cut_named(works, "top finish")
    line, operation, stroke, cut = key
    as_it_stands = works.lines[line].operations[operation].strokes[stroke].cuts[cut]
    figures = cut_figures(works)[key]
    limit_um = round(1.05 * figures.sharp_roughness_um * (1.0 + figures.roughness_growth), 3)
    features = {as_it_stands.feature: {"roughness": {"limits": None, "aim": None, "limit": f"{limit_um} um"}}}
    asked = changed(works, {"lines": {line: {"features": features}}})
    bound_mm = speed_on_paper(asked, key, POLICY).bounds.rough_mm
    assert bound_mm > float(as_it_stands.feed or 0.0)
    cuts = {"cuts": {cut: {"feed": f"{bound_mm:.6f} mm"}}}
    there = changed(asked, {"lines": {line: {"operations": {operation: {"strokes": {stroke: cuts}}}}}})
    worn = cut_figures(there)[key]
    assert worn.sharp_roughness_um * (1.0 + worn.roughness_growth) == pytest.approx(limit_um, rel=1e-4)
    assert speed_on_paper(asked, cut_named(works, "top rough"), POLICY).bounds.rough_mm == float("inf")


def test_a_worn_edge_takes_more_of_the_machine_than_a_sharp_one() -> None:
    """Force that wear adds x speed over the drive's efficiency, F v / 60 000 kW."""
    works = load_works("scenarios/block-line.yaml")
    key = cut_named(works, "top rough")
    operation = works.lines["block"].operations[key[1]]
    figures, base = cut_figures(works)[key], speed_on_paper(works, key, POLICY).conditions[AS_IT_STANDS]
    expected_kw = figures.wear_cutting_n * base.speed_m_min / 60_000.0 / operation.efficiency
    assert base.worn_kw == pytest.approx(expected_kw)
    assert base.worn_kw > 0.0


def test_a_cut_that_is_not_there_or_not_alone_is_told() -> None:
    works = load_works("scenarios/block-line.yaml")
    with pytest.raises(StudyError, match='"ruogh" is not a cut of this works; did you mean "rough"'):
        cut_named(works, "ruogh")
    with pytest.raises(StudyError, match='the cut "hone" cannot be judged'):
        speed_on_paper(works, cut_named(works, "hone"))
