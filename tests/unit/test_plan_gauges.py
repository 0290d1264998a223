"""What the plan holds of a gauge and of chips, by hand: a bore loses 2 µm for each µm left per side."""

from __future__ import annotations

import math
from typing import Any

import pytest

from linesim.plan.build import make_plan
from linesim.plan.plan import Plan
from linesim.plan.tables import NONE
from tests.floors import a_blade, a_cut, a_shop

BORE = {
    "kind": "bore", "size": {"limits": [79.98, 80.02]}, "roughness": {"limit": 1.6}, "as_cast": {"stock": 3},
}  # fmt: skip
RUN_OUT = {"kind": "run-out", "size": {"limits": [0.0, 0.04]}, "as_cast": {"stock": 3}}


def planned(gauge: dict[str, Any], feature: dict[str, Any] = BORE, **operation: Any) -> Plan:
    """A line of two operations: the first cuts the feature twice, the second cuts nothing and has the gauge."""
    strokes = {
        "first": {"cuts": {"rough": a_cut(feature="bore")}},
        "second": {"cuts": {"finish": a_cut(feature="bore", cutter="finisher")}},
    }
    operations = {
        "Op 10": {"strokes": strokes, **operation},
        "Op 20": {"minutes": 1.0, "gauges": {"plug": {"feature": "bore", "minutes": 0.5, **gauge}}},
    }
    works = a_shop(
        operations, line={"features": {"bore": feature}}, cutters={"blade": a_blade(), "finisher": a_blade()}
    )
    return make_plan(works, "as stated")


def limits(plan: Plan) -> tuple[float, float]:
    """Of the one gauge, µm per side."""
    return float(plan.gauges.low_um[0]), float(plan.gauges.high_um[0])


def test_a_gauge_without_limits_takes_the_drawings() -> None:
    """±0.02 mm of diameter are ±10 µm per side."""
    assert limits(planned({})) == pytest.approx((-10.0, 10.0))


@pytest.mark.parametrize(
    ("own", "expected"),
    [
        ([79.99, 80.02], (-10.0, 5.0)),  # the drawing's aim of 80 lies within: 0.02 mm large is 10 µm too little metal
        ([79.90, 79.98], (-20.0, 20.0)),  # before honing: around the gauge's own middle of 79.94
        ([80.00, 80.04], (-20.0, 0.0)),  # the aim stands at the gauge's lower limit, and counts as within
        ([79.96, 80.00], (0.0, 20.0)),
        ([80.02, 80.06], (-10.0, 10.0)),
    ],
)
def test_limits_of_its_own_are_about_the_drawings_aim_if_it_lies_within(
    own: list[float], expected: tuple[float, float]
) -> None:
    assert limits(planned({"limits": own})) == pytest.approx(expected)


def test_a_run_out_is_about_none_at_all() -> None:
    """A run-out reads twice the offset of the axis, whichever side: 0.03 mm are 15 µm to either."""
    low, high = limits(planned({"limits": [0.0, 0.03]}, RUN_OUT))
    assert (low, high) == pytest.approx((-15.0, 15.0))


def test_a_guard_band_narrows_the_limits_and_leaves_the_true_ones() -> None:
    """4 µm of diameter are 2 µm per side at either end."""
    plan = planned({"guard_band": 4.0})
    assert limits(plan) == pytest.approx((-8.0, 8.0))
    assert (plan.gauges.true_low_um[0], plan.gauges.true_high_um[0]) == pytest.approx((-10.0, 10.0))


def test_a_roughness_limit_is_the_gauges_own_else_the_drawings_else_none() -> None:
    assert planned({"reads": ["roughness"], "roughness_limit": 1.2}).gauges.roughness_limit_um[0] == 1.2
    assert planned({"reads": ["roughness"]}).gauges.roughness_limit_um[0] == 1.6
    assert planned({}, RUN_OUT).gauges.roughness_limit_um[0] == math.inf


def test_the_last_cut_before_the_gauge_made_the_feature_and_only_its_own_operation_can_cut_again() -> None:
    late = planned({}).gauges
    assert (late.maker_operation[0], late.maker_slot[0], late.recut_stroke[0], late.recut_cut[0]) == (0, 1, NONE, NONE)
    here = planned({"reads": ["size"]}, gauges={"here": {"feature": "bore", "minutes": 0.5}}).gauges
    assert (here.maker_operation[0], here.maker_slot[0], here.recut_stroke[0], here.recut_cut[0]) == (0, 1, 1, 1)


@pytest.mark.parametrize(("clean", "chance"), [(True, 0.01), (False, 0.2)])
def test_cleaning_takes_its_minutes_and_leaves_fewer_chips(clean: bool, chance: float) -> None:
    chips = {
        "located_on": "bore", "chance": 0.2, "clean": clean, "clean_minutes": 0.25, "chance_when_cleaned": 0.01,
        "thickness": 40, "scratch": 18,
    }  # fmt: skip
    plan = planned({}, chips=chips)
    assert plan.operations.chip_chance[0] == chance
    time = int(plan.operations.chip_clean_time[0])
    assert (time == NONE, None if time == NONE else plan.times.p1[time]) == ((False, 0.25) if clean else (True, None))
    assert (plan.operations.chip_feature[0], plan.operations.chip_feature[1]) == (0, NONE)


def test_equal_times_share_a_row_and_listed_ones_do_not() -> None:
    same = planned({}, load=0.7, unload=0.7)
    assert same.operations.load_time[0] == same.operations.unload_time[0] != NONE
    listed = planned({}, load={"listed": [0.6, 0.8]}, unload={"listed": [0.6, 0.8]})
    assert listed.operations.load_time[0] != listed.operations.unload_time[0]
    first, second = int(listed.operations.load_time[0]), int(listed.operations.unload_time[0])
    spans = [slice(int(listed.times.list_first[row]), int(listed.times.list_end[row])) for row in (first, second)]
    assert [list(listed.times.listed[span]) for span in spans] == [[0.6, 0.8], [0.6, 0.8]]


def test_what_is_none_takes_no_time_at_all() -> None:
    assert planned({}, load=0.0).operations.load_time[0] == NONE
