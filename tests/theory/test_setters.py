"""Machines that stop now and then and wait for a person: machine interference.

A stop is a breakdown attended by fitters, a broken edge replaced by setters, or a planned change after a fixed life:
the law of the running time does not matter for the exponential attendance (insensitivity). Sources with each case in
tests/data/line_cases.json. Accepted as told in `tests.theory.evidence`; control variates are stops against minutes run
(where running times are exponential) and minutes of attendance against stops.
"""

from __future__ import annotations

from typing import Any

import pytest

from linesim.plan.tally import State
from linesim.result import Result
from linesim.study import run
from linesim.works import works_from_text
from tests.theory.evidence import agree, flat, replicate
from tests.theory.lines import Case, case, exponential, scenario

WARM_UP = 2_500.0
LONGER = 3000
"""Added to the seeds of cases whose first runs were too short for a half-width below 1 %."""
NAMES = ("throughput", "machine_availability", "setter_utilisation", "mean_stopped", "mean_waiting", "mean_wait_time")
STOPPED = ("waiting_for_fitter", "under_repair", "waiting_for_setter", "changing")


def figures(result: Result) -> dict[str, float]:
    """Figures of the whole group, whoever attends to it."""
    machines, people, counted = result.machines, result.people.iloc[0], result.tally.counted_min
    return {
        "throughput": people["jobs"] / counted,
        "machine_availability": float(machines["cutting_share"].mean()),
        "setter_utilisation": people["busy_share"],
        "mean_stopped": float(machines[[f"{state}_share" for state in STOPPED]].to_numpy().sum()),
        "mean_waiting": people["mean_queue"],
        "mean_wait_time": people["mean_wait_min"],
    }


def attended(result: Result, stop_rate: float | None, attend_min: float) -> list[float]:
    """Stops less those to be expected of the minutes run; attendance less that to be expected of the stops."""
    people, counted = result.people.iloc[0], result.tally.counted_min
    busy = (people["busy_min"] - people["jobs"] * attend_min) / counted
    if stop_rate is None:
        return [busy]
    return [busy, people["jobs"] / counted - stop_rate * float(result.machines["cutting_share"].sum())]


def broken_down(of: Case, attendance: Any, length: float) -> str:
    """Stops are breakdowns, attended by fitters; parts take so long that they do not matter."""
    given = of.parameters
    operation = {
        "minutes": 100.0,
        "machines": given["machines"],
        "fitters": "fitters",
        "breakdowns": {"between": exponential(1.0 / given["stop_rate"]), "repair": attendance},
    }
    people = {"fitters": {"count": given.get("setters", 1)}}
    return scenario({"Op 10": operation}, length=length, warm_up=WARM_UP, people=people)


def worn(given: dict[str, Any], cutter: dict[str, Any], minutes: float, rule: Any, length: float) -> str:
    """Stops are changes of cutters, made by setters, with sharp sets always at hand."""
    operation = {"minutes": minutes, "machines": given["machines"], "setters": "setters", "sets": ["tool"]}
    tool = {
        "sets": 2 * given["machines"],
        "change": exponential(1.0 / given["service_rate"]),
        "extra_when_broken": 0.0,
        "renewal": {"bought": {}},
        **cutter,
    }
    people = {"setters": {"count": given["setters"]}}
    return scenario(
        {"Op 10": operation}, length=length, warm_up=WARM_UP, people=people, cutters={"tool": tool}, rule=rule
    )


@pytest.mark.parametrize(("name", "length"), [("setters_6_1", 20_000.0), ("setters_10_2", 34_000.0)])
def test_breakdowns_attended_by_fitters(name: str, length: float) -> None:
    of = case(name)
    mean_min = 1.0 / of.parameters["service_rate"]
    text = broken_down(of, exponential(mean_min), length)

    def controls(result: Result) -> list[float]:
        return attended(result, of.parameters["stop_rate"], mean_min)

    agree(flat(of.expected, NAMES), *replicate(text, of.seed, figures, controls))


def test_breakdowns_with_a_fixed_repair() -> None:
    of = case("setters_det_6")
    text = broken_down(of, of.parameters["service"], length=80_000.0)

    def controls(result: Result) -> list[float]:
        return attended(result, of.parameters["stop_rate"], of.parameters["service"])

    agree(flat(of.expected, NAMES), *replicate(text, of.seed + LONGER, figures, controls))


def test_broken_edges_replaced_by_setters() -> None:
    """The same case by way of the cutters: an edge of exponential life breaks, and a setter puts in another."""
    of = case("setters_10_2")
    life_min = 1.0 / of.parameters["stop_rate"]
    cutter = {"life": life_min, "life_cv": 0.0, "breaking": {"shape": 1.0, "scale": 1.0}}
    text = worn(of.parameters, cutter, 100.0, "run out", length=8_000.0)

    def controls(result: Result) -> list[float]:
        return attended(result, of.parameters["stop_rate"], 1.0 / of.parameters["service_rate"])

    agree(flat(of.expected, NAMES[:4]), *replicate(text, of.seed + 1000, figures, controls))


@pytest.mark.parametrize(
    ("name", "length"), [("setters_fixedlife_6_1", 110_000.0), ("setters_fixedlife_8_2", 300_000.0)]
)
def test_edges_of_a_fixed_life_changed_by_setters(name: str, length: float) -> None:
    of = case(name)
    life_min = of.parameters["life_fixed"]
    text = worn(of.parameters, {}, life_min, {"minutes": life_min}, length)

    def controls(result: Result) -> list[float]:
        return attended(result, None, 1.0 / of.parameters["service_rate"])

    agree(flat(of.expected, NAMES), *replicate(text, of.seed + LONGER, figures, controls))


@pytest.mark.parametrize("name", ["setters_6_1", "setters_10_2"])
def test_how_often_all_machines_run_at_once(name: str) -> None:
    """Read off the trace: minutes in which no machine is stopped."""
    of = case(name)
    mean_min = 1.0 / of.parameters["service_rate"]
    text = broken_down(of, exponential(mean_min), 6_000.0)

    def all_running(result: Result) -> dict[str, float]:
        assert result.trace is not None
        states = result.trace.states
        stopped = states[states["state"].isin([State.WAITING_FOR_FITTER.words, State.UNDER_REPAIR.words])]
        covered_min, until_min = 0.0, WARM_UP
        for start_min, end_min in sorted(zip(stopped["start_min"], stopped["end_min"], strict=True)):
            covered_min += max(0.0, end_min - max(start_min, until_min))
            until_min = max(until_min, end_min)
        return {"prob_all_running": 1.0 - covered_min / result.tally.counted_min}

    works = works_from_text(text)
    results = [
        run(works, seed=of.seed + 2000, replication=replication, trace=True, engine="fast") for replication in range(40)
    ]
    known = [attended(result, of.parameters["stop_rate"], mean_min) for result in results]
    agree(flat(of.expected, ("prob_all_running",)), [all_running(result) for result in results], known)
