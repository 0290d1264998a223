"""Cutters that break unseen, and the probe that looks for them; floors worked out by hand."""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest

from linesim.errors import ScenarioError
from linesim.plan.tally import Cause, State
from tests.floors import Seen, a_blade, a_cut, a_shop, run_shop

FACE = {"face": {"size": {"limits": [99.98, 100.02]}}}
STANDING_UM = 3000.0
"""What a cut of 3 mm leaves that takes nothing."""


def seen_of(operation: dict[str, Any] | None = None, length: float = 20.0, **blade: Any) -> Seen:
    """Parts of a minute each; an edge of the blade breaks in its fourth minute, and is seen six parts later."""
    # Weibull of a high shape: all but sure at 3.5 of a hundred cutting minutes.
    breaking = {"shape": 50, "scale": 0.035}
    kind = a_blade(life=100.0, sets=9, change=2, extra_when_broken=1, breaking=breaking, **({"seen_after": 6} | blade))
    spec = {"strokes": {"stroke": {"cuts": {"cut": a_cut(depth=3.0)}}}} | (operation or {})
    return run_shop(a_shop({"Op 10": spec}, line={"features": FACE}, cutters={"blade": kind}, length=length))


def test_a_broken_edge_leaves_the_metal_standing_until_somebody_sees_it() -> None:
    """Broken in the fourth part; that and four more go on, the sixth is scrap, and the edge is changed in 3 min."""
    seen = seen_of(length=13.5)
    left = seen.errors("Op 10")
    assert left[:3] == pytest.approx([0.0] * 3, abs=5.0)
    assert left[3:8] == pytest.approx([STANDING_UM] * 5, abs=5.0)
    assert seen.tally.scrapped[0, Cause.BROKEN_CUTTER] == 1
    assert (seen.tally.broke_unseen[0], seen.tally.cut_unseen[0], seen.tally.unplanned[0]) == (1, 6, 1)
    assert seen.spans_in("Op 10", State.CHANGING) == [(9.0, 12.0)]
    assert [change.why for change in seen.changes] == ["broken"]
    assert seen.tally.unclean[0] == 5


def test_a_probe_finds_it_in_the_same_part() -> None:
    seen = seen_of({"breakage_probe": {"minutes": 0.25}}, 9.0)
    assert seen.spans_in("Op 10", State.CHECKING)[:2] == [(1.0, 1.25), (2.25, 2.5)]
    assert seen.spans_in("Op 10", State.CHANGING) == [(5.0, 8.0)]
    assert (seen.tally.cut_unseen[0], seen.tally.probe_found[0], seen.tally.unclean[0]) == (1, 1, 0)
    assert seen.tally.scrapped[0, Cause.BROKEN_CUTTER] == 1


def test_a_probe_after_one_part_in_five_lets_the_fourth_go() -> None:
    seen = seen_of({"breakage_probe": {"every": 5}}, 9.0)
    assert seen.tally.break_probes[0] == 1
    assert (seen.tally.cut_unseen[0], seen.tally.probe_found[0], seen.tally.unclean[0]) == (2, 1, 1)


def test_a_gauge_that_turns_down_what_it_cut_last_tells_of_it() -> None:
    gauge = {"gauges": {"gauge": {"feature": "face", "tries": 0}}}
    seen = seen_of(gauge, 8.0, seen_after=100)
    assert seen.tally.cut_unseen[0] == 1
    assert seen.spans_in("Op 10", State.CHANGING) == [(4.0, 7.0)]
    assert np.sum(seen.tally.scrapped[0]) == 1


def test_it_is_seen_after_as_many_parts_as_the_cutter_says() -> None:
    seen = seen_of(length=9.0, seen_after=5)
    assert (seen.tally.cut_unseen[0], seen.tally.unplanned[0], seen.tally.planned[0]) == (5, 1, 0)


def test_a_sister_takes_over_from_what_the_probe_has_found() -> None:
    spec = {"breakage_probe": {}, "magazine": {"sisters": {"blade": 3}, "exchange": 0.5}}
    seen = seen_of(spec, 10.0)
    assert (seen.tally.taken_over[0], seen.tally.stops[0]) == (2, 0)
    assert seen.spans_in("Op 10", State.CHANGING)[0] == (4.0, 4.5)


@pytest.mark.parametrize(
    ("operation", "blade", "told"),
    [
        ({}, {"broken": "spares the part"}, "what breaks unseen is seen too late to save the part"),
        ({"breakage_probe": {}}, {"seen_after": 0}, "the probe has nothing to find"),
        ({"strokes": {}, "minutes": 1, "sets": ["blade"]}, {}, "breaks unseen (seen_after), which leaves metal"),
    ],
)
def test_what_cannot_be_is_refused_in_words(operation: dict[str, Any], blade: dict[str, Any], told: str) -> None:
    with pytest.raises(ScenarioError, match="seen") as caught:
        seen_of(operation, **blade)
    assert told in str(caught.value)
