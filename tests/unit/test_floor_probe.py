"""A touch probe in the spindle; floors worked out by hand."""

from __future__ import annotations

from typing import Any

import pytest

from linesim.errors import ScenarioError
from linesim.plan.tally import Cause, State
from tests.floors import Seen, a_blade, a_cut, a_shop, run_shop

FACE = {"face": {"size": {"limits": [99.98, 100.02]}}}
"""Plus and minus 20 µm."""


def seen_of(gauge: dict[str, Any], length: float = 20.0, blade: float = 1e9, **entries: Any) -> Seen:
    """Loaded in a minute, cut in one, probed in half of one and unloaded in a quarter, by an operator for all of it."""
    operation = {
        "strokes": {"stroke": {"cuts": {"cut": a_cut()}}},
        "load": 1, "unload": 0.25, "attended": {"by": "operators", "jobs": ["load", "unload", "gauge"]},
        "gauges": {"probe": {"feature": "face", "minutes": 0.5, "where": "spindle", **gauge}},
        **entries.pop("operation", {}),
    }  # fmt: skip
    works = a_shop(
        {"Op 10": operation}, line={"features": FACE}, cutters={"blade": a_blade(life=blade, sets=9)}, length=length,
        people={"operators": {}}, **entries,
    )  # fmt: skip
    return run_shop(works)


def test_the_part_is_probed_before_it_is_unloaded_and_without_the_operator() -> None:
    seen = seen_of({}, 5.5)
    assert seen.spans_in("Op 10", State.GAUGING) == [(2.0, 2.5), (4.75, 5.25)]
    assert seen.spans_in("Op 10", State.LOADING) == [(0.0, 1.0), (2.5, 2.75), (2.75, 3.75), (5.25, 5.5)]
    assert seen.tally.busy_min[0] == pytest.approx(1.0 + 1.25 + 0.25)
    beside = seen_of({"where": "machine"}, 5.5)
    assert beside.spans_in("Op 10", State.GAUGING) == [(2.25, 2.75), (5.0, 5.5)]
    assert beside.tally.busy_min[0] == pytest.approx(1.0 + 1.75 + 0.75)


def test_metal_left_on_is_cut_again_in_the_same_clamping_and_the_next_part_is_made_with_the_new_offset() -> None:
    """25 µm too much, probed at 2.5, cut once more until 3.5 and probed again; the offset takes the next one right."""
    seen = seen_of(
        {"corrects": {"cut": "cut"}, "tries": 1}, 9.0, operation={"turns_bad": {"chance": 1.0, "shift": 25.0}}
    )
    assert seen.spans_in("Op 10", State.CUTTING)[:2] == [(1.0, 2.0), (2.5, 3.5)]
    assert seen.tally.corrections[0] >= 1
    assert seen.tally.recut[0, Cause.METAL_LEFT] >= 1


def test_a_probe_does_not_see_how_far_its_machine_has_grown() -> None:
    """Warm after its first stroke, the machine cuts 30 µm too deep: seen beside it, and not from its spindle."""
    warm = {"warm_up": {"rise": 30.0, "minutes": 0.001, "cools": 1e6, "set_warm": 0.0}}
    blind, sees = (seen_of({"where": where}, operation=warm) for where in ("spindle", "machine"))
    assert blind.errors("Op 10")[1:] == pytest.approx([-30.0] * len(blind.errors("Op 10")[1:]), abs=0.01)
    assert blind.tally.scrapped.sum() == 0
    assert sees.tally.scrapped[0, Cause.CUT_AWAY] > 3


def test_a_reading_past_an_action_limit_passes_on_to_a_sister() -> None:
    """3 µm a part: 12 is read of the fifth, so that the next one is cut by a sister; the third is the last."""
    magazine = {"sisters": {"blade": 3}, "exchange": 0.125}
    seen = seen_of({}, 42.0, 10.0, operation={"magazine": magazine}, rule={"gauge": {"size": 10}})
    assert seen.spans_in("Op 10", State.CHANGING)[0] == (13.75, 13.875)
    assert seen.changes[0].parts == 5
    assert (seen.tally.taken_over[0], seen.tally.stops[0]) == (2, 1)


@pytest.mark.parametrize(
    ("gauge", "operation", "sentence"),
    [
        ({"reads": ["roughness"]}, {}, "reads no roughness"),
        ({}, {"batch": {"most": 2}}, "strokes and one part at a time"),
    ],
)
def test_a_probe_needs_a_spindle_and_a_surface_that_it_can_feel(
    gauge: dict[str, Any], operation: dict[str, Any], sentence: str
) -> None:
    with pytest.raises(ScenarioError, match=sentence):
        seen_of(gauge, operation=operation)
