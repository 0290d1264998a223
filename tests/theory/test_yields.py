"""Scrap and work done again: yields, starts needed, and capacity.

Sources with each case in tests/data/line_cases.json. Accepted as told in `tests.theory.evidence`.
"""

from __future__ import annotations

import numpy as np
import pytest

from linesim.result import Result
from linesim.study import run
from linesim.works import works_from_text
from tests.theory.evidence import agree, flat, replicate
from tests.theory.lines import case, line_of, scenario


def spoiling(scrap: list[float], castings: int) -> str:
    """Operations of one minute that spoil parts, with so many castings; the run ends when all are through."""
    operations = line_of([1.0] * len(scrap), ["unlimited"] * (len(scrap) - 1))
    for operation, chance in zip(operations.values(), scrap, strict=True):
        operation["scrap_chance"] = chance
    return scenario(operations, line={"casting": {"limit": castings}}, length=castings + len(scrap) + 1.0)


def test_rolled_yield_is_the_product_of_the_yields() -> None:
    of = case("rolled_4")
    text = spoiling(of.parameters["scrap"], 1_000)

    def figures(result: Result) -> dict[str, float]:
        line = result.lines.iloc[0]
        return {
            "rolled_yield": float(line["rolled_yield"]),
            "starts_per_good": float(line["castings"] / line["shipped"]),
        }

    agree(flat(of.expected, ("rolled_yield", "starts_per_good")), *replicate(text, of.seed, figures))


def test_work_done_again_until_it_is_good() -> None:
    of = case("recut_0.1")
    text = scenario(
        {"Op 10": {"minutes": 1.0, "recut_chance": of.parameters["recut_probability"]}},
        line={"casting": {"limit": 1_000}},
        length=2_000.0,
    )

    def figures(result: Result) -> dict[str, float]:
        machine = result.machines.iloc[0]
        assert machine["worked"] == 1_000
        return {"visits": float(machine["cutting_min"] / machine["worked"])}

    agree(flat(of.expected, ("visits",)), *replicate(text, of.seed, figures))


def test_starts_needed_for_an_order() -> None:
    of = case("starts_200")
    given = of.parameters
    starts, good = of.expected["starts_for_assurance"], given["good_needed"]
    text = spoiling(given["scrap"], starts)

    def figures(result: Result) -> dict[str, float]:
        line, machines = result.lines.iloc[0], result.machines
        # A part spoilt is worked too, though it does not count as such: what it leaves is passed on.
        tried = machines["passed"] + machines["scrapped"]
        processed = {f"mean_processed_per_start[{at}]": float(count) / starts for at, count in enumerate(tried)}
        return processed | {
            "rolled_yield": float(line["shipped"] / line["castings"]),
            "is_enough": float(line["shipped"] >= good),
        }

    found, known = replicate(text, of.seed, figures, replications=400)
    agree(flat(of.expected, ("rolled_yield", "mean_processed_per_start")), found, known)
    # Mean starts for the good parts needed, by the mean yield: 200 / 0.92169.
    rolled_yield = np.mean([each["rolled_yield"] for each in found])
    assert good / rolled_yield == pytest.approx(of.expected["mean_starts"], rel=0.01)
    # 224 starts are enough with a chance of at least 0.95; in 400 orders that is 380 in the mean, s.d. 4.4.
    share = float(np.mean([each["is_enough"] for each in found]))
    print(f"enough in {share:.4f} of the orders, at least {given['assurance']} were to be expected")
    assert share >= given["assurance"] - 4.0 * np.sqrt(0.95 * 0.05 / 400)


def capacity(buffer: int | str, length: float) -> str:
    given = case("scrap_capacity_3").parameters
    operations = line_of(given["cycles"], [buffer] * (len(given["cycles"]) - 1))
    for operation, chance in zip(operations.values(), given["scrap_after"], strict=True):
        operation["scrap_chance"] = chance
    return scenario(operations, length=length, warm_up=500.0)


def test_the_constraint_and_the_yields_behind_it_set_the_output() -> None:
    of = case("scrap_capacity_3")
    slowest = of.expected["bottleneck_index0"]

    def figures(result: Result) -> dict[str, float]:
        passed, cutting = result.machines["passed"], result.machines["cutting_share"]
        assert cutting[slowest] == pytest.approx(1.0, abs=1e-9)
        return {
            "max_good_rate": float(result.lines["shipped"].iloc[0]) / result.tally.counted_min,
            "max_start_rate": float(passed[slowest] + result.machines["scrapped"][slowest])
            / result.tally.counted_min
            / (1.0 - of.parameters["scrap_after"][0]),
        }

    found, known = replicate(capacity("unlimited", 3_000.0), of.seed, figures)
    agree(flat(of.expected, ("max_good_rate", "max_start_rate")), found, known)


def test_finite_buffers_stay_below_that_capacity() -> None:
    of = case("scrap_capacity_3")
    works = works_from_text(capacity(2, 20_000.0))
    result = run(works, seed=of.seed + 1000, engine="fast")
    rate = float(result.lines["shipped"].iloc[0]) / result.tally.counted_min
    assert 0.9 * of.expected["max_good_rate"] < rate < of.expected["max_good_rate"]
