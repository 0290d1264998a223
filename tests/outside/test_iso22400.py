"""Indicators of ISO 22400-2:2014 with Amendment 1:2017.

Formulas as transcribed in the open ontology of Helmut Schmidt University Hamburg (read); the mean times from memory.
The figures were made up to test the arithmetic and worked out by hand.
"""

from __future__ import annotations

import math
from dataclasses import replace

import pytest

from linesim.plan.tally import State
from linesim.result.indicators import INDICATORS, STATES_OF_TIME, Quantities

SHIFT = Quantities(
    pbt=480.0,
    aubt=460.0,
    aupt=440.0,
    apt=420.0,
    asut=20.0,
    adet=20.0,
    planned_min=1.5 * 240.0,
    part_min=2400.0,
    run_min=480.0,
    pq=240.0,
    gq=228.0,
    sq=12.0,
    gp=216.0,
    first_pq=250.0,
    stock=5.0,
    failures=3.0,
    operating_min=400.0,
    repair_min=16.0,
)
"""A shift of 480 min with 420 min of production, 1.5 min per unit, 240 produced and 228 good."""


def indicators_of(quantities: Quantities) -> dict[str, float]:
    return {indicator.name: indicator.value(quantities) for indicator in INDICATORS}


def test_oee_of_a_shift() -> None:
    """Availability 0.8750, effectiveness 0.857143, quality ratio 0.9500, OEE 0.7125."""
    found = indicators_of(SHIFT)
    assert found["availability"] == 0.875
    assert found["effectiveness"] == pytest.approx(0.857143, abs=5e-7)
    assert found["quality ratio"] == 0.95
    assert found["OEE index"] == pytest.approx(0.7125)
    product = found["availability"] * found["effectiveness"] * found["quality ratio"]
    assert found["OEE index"] == pytest.approx(product)
    assert found["OEE index"] == pytest.approx(1.5 * 228.0 / 480.0)


def test_the_net_index_counts_set_up_as_no_loss() -> None:
    found = indicators_of(SHIFT)
    assert found["NEE index"] == pytest.approx(440.0 / 480.0 * found["effectiveness"] * 0.95)
    without_set_up = indicators_of(replace(SHIFT, aupt=420.0, asut=0.0))
    assert without_set_up["NEE index"] == pytest.approx(found["OEE index"])


@pytest.mark.parametrize(
    ("name", "value"),
    [
        ("utilisation efficiency", 420.0 / 460.0),
        ("allocation efficiency", 460.0 / 480.0),
        ("allocation ratio", 460.0 / 2400.0),
        ("technical efficiency", 420.0 / 440.0),
        ("production process ratio", 420.0 / 2400.0),
        ("setup ratio", 20.0 / 440.0),
        ("throughput rate", 240.0 / 8.0),
        ("scrap ratio", 12.0 / 240.0),
        ("rework ratio", 12.0 / 240.0),
        ("first pass yield", 216.0 / 240.0),
        ("fall-off ratio", 12.0 / 250.0),
        ("inventory turns", 228.0 / 5.0),
    ],
)
def test_the_other_ratios(name: str, value: float) -> None:
    assert indicators_of(SHIFT)[name] == pytest.approx(value)


def test_mean_times_divide_by_the_failures_plus_one() -> None:
    """From memory; whoever divides by the failures alone gets 133.3, 154.7 and 5.33 min here."""
    found = indicators_of(SHIFT)
    assert found["mean operating time between failures"] == 100.0
    assert found["mean time to failure"] == 116.0
    assert found["mean time to restoration"] == 4.0


def test_a_machine_that_made_nothing_has_no_ratios_of_quality() -> None:
    idle = replace(SHIFT, apt=0.0, pq=0.0, gq=0.0, sq=0.0, gp=0.0, planned_min=0.0)
    found = indicators_of(idle)
    assert found["availability"] == 0.0
    assert all(math.isnan(found[name]) for name in ("effectiveness", "quality ratio", "OEE index", "scrap ratio"))


def test_every_state_of_a_machine_belongs_to_exactly_one_time_of_the_standard() -> None:
    states = [state for states in STATES_OF_TIME.values() for state in states]
    assert sorted(states) == sorted(State)


def test_every_indicator_has_a_name_of_its_own_and_a_formula() -> None:
    names = [indicator.name for indicator in INDICATORS]
    assert len(set(names)) == len(names) == 20
    assert all(indicator.formula and indicator.levels for indicator in INDICATORS)
