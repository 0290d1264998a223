"""Speed and feed: on paper, and what the line makes of them."""

from __future__ import annotations

import pytest

from linesim.errors import StudyError
from linesim.routing import SpeedStudy, cut_named, speed_on_paper
from linesim.routing.edges import edge_cost
from linesim.routing.speed_paper import AS_IT_STANDS, FOR_THE_LINE, LEAST_COST, MOST_OUTPUT
from linesim.study import StudyOptions
from linesim.works import load_works

POLICY = "by its place in the line"


def test_an_edge_costs_its_share_of_the_set_and_of_the_people() -> None:
    works = load_works("scenarios/crankcase-line.yaml")
    operation = works.lines["crankcase"].operations["Op 20"]
    # Indexed with four edges: (196 + 3 x 2) / 4; the setter for 9 min and 3 min of access at 36 EUR/h.
    assert edge_cost(works, operation, "rough mill", 0.3) == pytest.approx(202.0 / 4.0 + 12.0 * 0.6)


def test_at_a_machine_with_time_to_spare_slower_is_cheaper_and_the_line_loses_nothing() -> None:
    """Op 20 of the block line; the difference in contribution is told apart at 95 % for three paired comparisons."""
    works = load_works("scenarios/block-line.yaml")
    paper = speed_on_paper(works, cut_named(works, "top rough"), POLICY)
    assert not paper.is_constraint
    assert paper.worth_per_min == 0.0
    found = paper.conditions
    assert found[FOR_THE_LINE].speed_m_min < found[LEAST_COST].speed_m_min < found[MOST_OUTPUT].speed_m_min
    answer = SpeedStudy(paper, StudyOptions(4)).run()
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
    assert found[AS_IT_STANDS].speed_m_min == 100.0


def test_the_finish_asked_for_bounds_the_feed_of_the_last_cut_only() -> None:
    works = load_works("scenarios/block-line.yaml")
    last = speed_on_paper(works, cut_named(works, "top finish"), POLICY)
    # Ra of a worn edge goes with f²; at the bound it is just the 2.0 µm of the drawing.
    figures = last.bounds.rough_mm
    assert 0.12 < figures < 0.25
    assert speed_on_paper(works, cut_named(works, "top rough"), POLICY).bounds.rough_mm == float("inf")


def test_a_cut_that_is_not_there_or_not_alone_is_told() -> None:
    works = load_works("scenarios/block-line.yaml")
    with pytest.raises(StudyError, match='"ruogh" is not a cut of this works; did you mean "rough"'):
        cut_named(works, "ruogh")
    with pytest.raises(StudyError, match='the cut "hone" cannot be judged'):
        speed_on_paper(works, cut_named(works, "hone"))
