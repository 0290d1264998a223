"""First pieces after a changeover from one part type to another; worked out by hand, on both engines."""

from __future__ import annotations

from typing import Any

import pytest

from linesim.errors import ScenarioError
from linesim.plan.build import make_plan
from linesim.works import Works
from tests.agree.twins import assert_twins_agree
from tests.floors import a_blade, a_cut, a_shop


def works(**first: Any) -> Works:
    """Three long parts and three short ones by turns, two minutes each, changed over in two and gauged in five."""
    operation = {
        "strokes": {"stroke": {"cuts": {"cut": a_cut(minutes=2.0)}}},
        "changeover": {"minutes": 2},
        "first_piece": {"minutes": 5, "accept": 1, **first},
    }
    line = {
        "features": {"face": {"size": {"limits": [99.98, 100.02]}}},
        "parts": {"long": {"batch": 3}, "short": {"batch": 3}},
    }
    return a_shop({"Op 10": operation}, line=line, length=65.0, cutters={"blade": a_blade(life=1e9)})


@pytest.mark.parametrize(("first", "gauged", "changeovers"), [({}, 1, 7), ({"after_changeover": True}, 5, 5)])
def test_the_first_part_of_each_type_is_gauged(first: dict[str, Any], gauged: int, changeovers: int) -> None:
    """A round takes eight minutes, the first one five more; where the first of each type is gauged, thirteen each."""
    tally = assert_twins_agree(make_plan(works(**first), "as stated"), 0)
    assert (tally.first_gauged[0], tally.changeovers[0]) == (gauged, changeovers)


def test_a_machine_that_runs_on_has_none() -> None:
    with pytest.raises(ScenarioError, match="while the machine stands"):
        works(after_changeover=True, meanwhile="runs on")
