"""Changing an edge at an age or when it breaks: renewal reward.

An edge lasts a Weibull number of cutting minutes (its life share at breaking is Weibull, its life has no scatter of its
own); the rule changes it after so many minutes. Sources with each case in tests/data/line_cases.json. Costs follow from
the counts of changes and the minutes cut. Accepted as told in `tests.theory.evidence`; the control variate is edges
broken against the hazard that they have lived through.
"""

from __future__ import annotations

from typing import Any

import pytest

from linesim.result import Result
from tests.rounds import some_each_time
from tests.theory.evidence import agree, replicate
from tests.theory.lines import case, scenario
from tests.theory.measures import breaking_control

RUN_OUT = None


def wearing(given: dict[str, Any], age: float | None, length: float, pieces: int, **times: float) -> str:
    """One machine whose edge is changed at an age (or only when it breaks), which takes so many parts to reach."""
    minutes = (given["scale"] if age is None else age) / pieces
    tool = {
        "sets": 2,
        "life": given["scale"],
        "life_cv": 0.0,
        "breaking": {"shape": given["shape"], "scale": 1.0},
        "renewal": {"bought": {}},
        **times,
    }
    return scenario(
        {"Op 10": {"minutes": minutes, "sets": ["tool"]}},
        length=length,
        warm_up=20.0 * given["scale"],
        cutters={"tool": tool},
        rule="run out" if age is None else {"minutes": age},
    )


def cost_rate(result: Result, planned: float, failure: float) -> float:
    """Money per cutting minute."""
    changes = result.changes.iloc[0]
    cut_min = float(result.machines["cutting_min"].iloc[0])
    return float(planned * changes["planned"] + failure * changes["unplanned"]) / cut_min


AGES = ("best_age", "half_scale", "run_out")
CASES = {"age_3_60": 30_000.0, "age_2.5_1000": 500_000.0}


@pytest.mark.parametrize("name", CASES)
@pytest.mark.parametrize("at", some_each_time(AGES, "best_age"))
def test_cost_per_minute_of_changing_at_an_age(name: str, at: str) -> None:
    of = case(name)
    given = of.parameters
    age = {"best_age": of.expected["best_age"], "half_scale": given["scale"] / 2.0, "run_out": RUN_OUT}[at]
    expected = {
        "best_age": of.expected["cost_rate"],
        "half_scale": of.expected["at_half_scale"],
        "run_out": of.expected["cost_rate_run_out"],
    }[at]
    text = wearing(given, age, CASES[name], pieces=1, change=0.0, extra_when_broken=0.0)

    def figures(result: Result) -> dict[str, float]:
        return {"cost_rate": cost_rate(result, given["cost_planned"], given["cost_failure"])}

    def controls(result: Result) -> list[float]:
        return [breaking_control(result, given["shape"])]

    found, known = replicate(text, of.seed + 1000 * AGES.index(at), figures, controls, trace=True)
    agree({"cost_rate": expected}, found, known)


def test_the_best_age_is_better_than_others_on_the_same_edges() -> None:
    """Common random numbers: the same edges, changed at half and at twice the best age, cost more in every run."""
    of = case("age_3_60")
    given, best = of.parameters, of.expected["best_age"]
    costs: dict[float, list[float]] = {}
    for factor in (0.5, 1.0, 2.0):
        text = wearing(given, factor * best, 20_000.0, pieces=1, change=0.0, extra_when_broken=0.0)
        found, _ = replicate(
            text, of.seed, lambda result: {"cost": cost_rate(result, given["cost_planned"], given["cost_failure"])},
            replications=20,
        )  # fmt: skip
        costs[factor] = [each["cost"] for each in found]
    assert all(best < low for best, low in zip(costs[1.0], costs[0.5], strict=True))
    assert all(best < high for best, high in zip(costs[1.0], costs[2.0], strict=True))


@pytest.mark.parametrize("pieces", [1, 5])
def test_share_of_time_cutting(pieces: int) -> None:
    """Whether the age is reached in one part or in five makes no difference."""
    of = case("agetime_3_60")
    given = of.parameters
    extra = given["minutes_failure"] - given["minutes_planned"]
    text = wearing(given, given["age"], 30_000.0, pieces, change=given["minutes_planned"], extra_when_broken=extra)

    def figures(result: Result) -> dict[str, float]:
        return {"cutting_share": float(result.machines["cutting_share"].iloc[0])}

    def controls(result: Result) -> list[float]:
        return [breaking_control(result, given["shape"])]

    found, known = replicate(text, of.seed + 1000 * pieces, figures, controls, trace=True)
    agree({"cutting_share": of.expected["cutting_share"]}, found, known)
