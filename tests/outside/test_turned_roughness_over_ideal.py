"""Actual over ideal Ra of turned tool steel, against the ideal alone and the finish that the plan takes for steel.

Open tests: A. D. Canal, A. V. Borille, doi 10.34740/kaggle/ds/2205074 (read elsewhere; means only may be quoted, and
here only three ratios are to be had, each over the feeds of 0.07, 0.10 and 0.13 mm): H13 of 200 HV, new edges, nose 0.4
mm, coated carbide. Whether they are means or medians is not said, nor whether the ideal is f²/(18 √3 r), as here, or
f²/(32 r), which lies 2.6 % lower. Strong for this set-up; not iron, and one nose.

What counts as met was set beforehand: 20 %, twice the scatter of Ra from part to part that the handbook has for every
grade (coefficient of variation 0.1, common practice). Nothing was adjusted.
"""

from __future__ import annotations

import functools

import pytest

from linesim.cutting.surface import theoretical_ra_um
from linesim.handbook import grades
from linesim.plan.figures import cut_figures
from tests.floors import a_cut, a_shop

NOSE_MM, FEEDS_MM = 0.4, (0.07, 0.10, 0.13)
MEASURED = {0.25: 0.98176, 0.5: 0.74230, 0.8: 0.96569}
"""Actual over ideal Ra by depth, mm."""

POWER_OF_FEED = (1.4711, 0.15)
"""Of Ra in the 54 runs of the same tests, with its standard error (fitted elsewhere)."""

GRADE = grades()["coated carbide", "steel"]
NEAR = 2.0 * GRADE.roughness_cv


@functools.cache
def over_ideal(depth_mm: float, feed_mm: float, edge_radius_um: float | None = None) -> float:
    """Ra of a sharp edge over the ideal, as the plan works it out for C45."""
    blade = {"grade": "coated carbide", "nose_radius": NOSE_MM, "sets": 2, "renewal": {"bought": {}}}
    if edge_radius_um is not None:
        blade["edge_radius"] = edge_radius_um
    cut = a_cut(depth=depth_mm, feed=feed_mm, speed=180, length=50)
    line = {"material": "C45", "features": {"face": {"kind": "bore", "diameter": 50, "roughness": {"limit": 5}}}}
    works = a_shop({"Op": {"strokes": {"stroke": {"cuts": {"cut": cut}}}}}, line=line, cutters={"blade": blade})
    (figures,) = cut_figures(works).values()
    return figures.sharp_roughness_um / theoretical_ra_um(feed_mm, NOSE_MM)


def mean_over_feeds(depth_mm: float, edge_radius_um: float | None = None) -> float:
    return sum(over_ideal(depth_mm, feed_mm, edge_radius_um) for feed_mm in FEEDS_MM) / len(FEEDS_MM)


def met(foretold: dict[float, float]) -> set[float]:
    """Depths at which a ratio is foretold within what counts as met."""
    return {depth for depth, ratio in MEASURED.items() if abs(foretold[depth] / ratio - 1.0) <= NEAR}


def test_what_counts_as_met_is_twice_the_scatter_from_part_to_part() -> None:
    assert 2.0 * GRADE.roughness_cv == pytest.approx(0.2)


def test_the_ideal_alone_is_met_at_two_depths_of_three() -> None:
    """1 against 0.982, 0.742 and 0.966: 2 % and 4 % high at 0.25 and 0.8 mm; at 0.5 mm 35 %, a miss.

    A nose that has worn flat like a wiper can leave less than the ideal; no law here has that of a round nose.
    """
    assert met(dict.fromkeys(MEASURED, 1.0)) == {0.25, 0.8}


def test_the_finish_of_the_plan_is_met_at_the_lightest_cut_and_too_rough_at_the_others() -> None:
    """1.1 times the ideal, for depth 1.27 at 0.8 mm: 12 % high at 0.25 mm; 48 % at 0.5 and 31 % at 0.8 mm, misses.

    The 1.1 is for ductile metals at production speed (Groover, from memory), the power of depth 0.3 assumed; both make
    it too rough here, as in these tests depth says nothing. The finest Ra of the grade, 0.4 µm, is not reached.
    """
    plan = {depth: mean_over_feeds(depth) for depth in MEASURED}
    assert plan[0.25] == pytest.approx(1.1, rel=1e-9)
    assert plan[0.8] == pytest.approx(1.1 * 1.6**0.3, rel=1e-9)
    assert met(plan) == {0.25}
    assert all(plan[depth] > ratio for depth, ratio in MEASURED.items())
    assert GRADE.roughness_floor_um < min(over_ideal(depth, FEEDS_MM[0]) for depth in MEASURED) * theoretical_ra_um(
        FEEDS_MM[0], NOSE_MM
    )


def test_with_the_edge_radius_of_tables_thin_chips_are_made_far_too_much_of() -> None:
    """Brammertz's term at 30 µm, which the plan adds only where a radius is given: met nowhere, four times and more.

    It is right that the finest feed has the most over the ideal. But from 0.07 to 0.13 mm the ratio falls to a
    sixth by the term, and in these tests (power of feed 1.47 ± 0.15) by a quarter: a miss beyond two standard errors.
    """
    assert GRADE.edge_radius_um == 30.0
    edged = {depth: mean_over_feeds(depth, GRADE.edge_radius_um) for depth in MEASURED}
    assert met(edged) == set()
    assert all(edged[depth] / ratio > 1.0 + NEAR for depth, ratio in MEASURED.items())

    by_feed = [over_ideal(0.25, feed_mm, GRADE.edge_radius_um) for feed_mm in FEEDS_MM]
    assert by_feed == sorted(by_feed, reverse=True)
    power, error = POWER_OF_FEED
    finest_over_coarsest = (FEEDS_MM[0] / FEEDS_MM[-1]) ** (power - 2.0)
    most = (FEEDS_MM[0] / FEEDS_MM[-1]) ** (power - 2.0 * error - 2.0)
    assert 1.0 < finest_over_coarsest < most < by_feed[0] / by_feed[-1]
