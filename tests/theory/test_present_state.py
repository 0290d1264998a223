"""A run that begins from the present state: edges part of the way through their lives, whole so far.

Exact values from the conditional law R(a + x) / R(a) of a Weibull life (shape 3, scale 60 parts) and a recursion over
parts with changes at 45. Four standard errors: a false alarm in about one of 16,000 checks; the seed was fixed before.
"""

from __future__ import annotations

import math
from typing import Any

import numpy as np
import pytest

from linesim.fast.run import run_fast
from linesim.plan.build import make_plan
from linesim.works import works_from_dict
from tests.floors import a_tool

RUNS, SEED = 20_000, 5301
AGES = (5, 30, 44)


def breaks(ages: tuple[int, ...], rule: Any) -> np.ndarray:
    """Breaks of one edge each in 25 parts, (runs, edges)."""
    tool = a_tool(life=60, life_cv=0, breaking={"shape": 3, "scale": 1}, change=0, sets=2 * len(ages) + 2)
    operation = {"minutes": 1, "sets": ["tool"]}
    lines = {f"line {age}": {"casting": {"limit": 25}, "operations": {"Op 10": operation}} for age in ages}
    now = {"lines": {f"line {age}": {"Op 10": {"edges": {"tool": age}}} for age in ages}}
    content = {
        "name": "this shift", "run": {"length": 100, "warm_up": 0}, "cutters": {"tool": tool}, "lines": lines,
        "policies": {"as stated": {"default": rule}}, "now": now,
    }  # fmt: skip
    plan = make_plan(works_from_dict(content, "this shift"), "as stated")
    counts = [run_fast(plan, SEED, replication).unplanned.copy() for replication in range(RUNS)]
    return np.array(counts)


def agrees(samples: np.ndarray, expected: float) -> bool:
    """Whether the mean is within four standard errors."""
    error = float(samples.std(ddof=1)) / math.sqrt(len(samples))
    return abs(float(samples.mean()) - expected) < 4.0 * error


def test_chances_and_numbers_of_breaks_with_changes() -> None:
    counts = breaks(AGES, {"parts": 45})
    for edge, expected in enumerate((0.11764, 0.26649, 0.0893)):
        assert agrees(counts[:, edge], expected)
    total = counts.sum(axis=1)
    assert agrees(total, 0.473428)
    assert agrees((total == 0).astype(float), 0.59605)
    assert agrees((total >= 2).astype(float), 0.0647466)


def test_chances_and_numbers_of_breaks_without() -> None:
    counts = breaks(AGES, "run out")
    for edge, expected in enumerate((0.11764, 0.48186, 0.68738)):
        assert agrees(counts[:, edge], expected)
    assert agrees((counts.sum(axis=1) == 0).astype(float), 0.150141)


@pytest.mark.parametrize(("age", "chance"), [(0, 0.0697835), (30, 0.475471), (44, 0.675836)])
def test_chance_to_break_in_the_next_parts(age: int, chance: float) -> None:
    assert agrees((breaks((age,), "run out")[:, 0] > 0).astype(float), chance)
