"""People who attend several machines, and people who are not always there.

Exact values: machine interference with fixed times, the machine repairman's model (Palm 1947; Ashcroft 1950), and the
periodic solution of the same chain whose number of people changes by shift (matrix exponentials).
"""

from __future__ import annotations

from typing import Any

import pytest

from linesim.result import Result
from tests.theory.evidence import agree, replicate
from tests.theory.lines import exponential, scenario

SEED = 20261401


def interference(machines: int, run_min: Any, service_min: Any, walk_min: float, length: float) -> str:
    """Machines that one person loads; each runs by itself meanwhile."""
    attended = {"by": "operators", "walk": walk_min}
    operation = {"minutes": run_min, "load": service_min, "machines": machines, "attended": attended}
    return scenario({"Op 10": operation}, length=length, warm_up=960.0, people={"operators": {"count": 1}})


def _figures(result: Result) -> dict[str, float]:
    per_min = float(result.machines["passed"].sum()) / result.tally.counted_min
    return {"throughput": per_min, "busy": float(result.people.iloc[0]["busy_share"])}


@pytest.mark.parametrize(("machines", "per_min"), [(4, 0.555556), (5, 0.666667), (6, 0.666667)])
def test_machines_tended_by_one_person_with_fixed_times(machines: int, per_min: float) -> None:
    figures, _ = replicate(interference(machines, 6.0, 1.2, 0.3, 45_000.0), SEED, _figures, replications=1)
    assert figures[0]["throughput"] == pytest.approx(per_min, abs=2e-4)


@pytest.mark.parametrize(
    ("machines", "per_min", "busy"), [(4, 0.459547, 0.68932), (5, 0.533955, 0.800933), (6, 0.588558, 0.882838)]
)
def test_machines_tended_by_one_person_with_exponential_times(machines: int, per_min: float, busy: float) -> None:
    text = interference(machines, exponential(6.0), exponential(1.5), 0.0, 20_000.0)
    figures, _ = replicate(text, SEED + machines, _figures)
    agree({"throughput": per_min, "busy": busy}, figures)


def _running(result: Result) -> dict[str, float]:
    return {"running": float(result.machines["cutting_share"].sum())}


@pytest.mark.parametrize(("by_shift", "running"), [([1, 0], 3.91203), ([1, 1], 5.70652)])
def test_nights_without_anybody_are_paid_for_in_the_morning(by_shift: list[int], running: float) -> None:
    stops = {"between": exponential(240.0), "repair": exponential(10.0)}
    operation = {"minutes": 1000.0, "machines": 6, "fitters": "setters", "breakdowns": stops}
    people = {"setters": {"by_shift": by_shift, "at_bell": "hands over"}}
    calendar = {"shift": 480, "shifts_per_day": 2}
    text = scenario({"Op 10": operation}, length=96_000.0, warm_up=9_600.0, people=people, calendar=calendar)
    figures, _ = replicate(text, SEED + 10 + by_shift[1], _running)
    agree({"running": running}, figures)


@pytest.mark.parametrize(
    ("people", "running", "number"),
    [
        ({"by_shift": [2, 1]}, 5.29518, 20),
        ({"breaks": [{"after": 225, "minutes": 30}]}, 4.9416, 21),
    ],
)
def test_fewer_people_by_night_and_a_break_for_all(people: dict[str, Any], running: float, number: int) -> None:
    stops = {"between": exponential(20.0), "repair": exponential(2.0)}
    operation = {"minutes": 1000.0, "machines": 6, "fitters": "setters", "breakdowns": stops}
    pools = {"setters": {**people, "at_bell": "hands over"}}
    calendar = {"shift": 480, "shifts_per_day": 2}
    text = scenario({"Op 10": operation}, length=9_600.0, warm_up=960.0, people=pools, calendar=calendar)
    figures, _ = replicate(text, SEED + number, _running)
    agree({"running": running}, figures)
