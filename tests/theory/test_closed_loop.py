"""Lines with a fixed number of parts in them: as many pallets, and room for all of them everywhere.

A pallet that has come back stands before the first operation until its machine takes the next casting; the parts of the
case that stand there are pallets here. Sources with each case in tests/data/line_cases.json. Fixed times are exact;
the others are accepted as told in `tests.theory.evidence`, with the minutes cut against those to be expected as control
variates.
"""

from __future__ import annotations

from typing import Any

import pytest

from linesim.result import Result
from linesim.study import run
from linesim.works import works_from_text
from tests.theory.evidence import agree, replicate
from tests.theory.lines import case, exponential, line_of, scenario
from tests.theory.measures import cutting_controls, line_figures

WARM_UP = 1_000.0


def loop(minutes: list[Any], pallets: int, length: float) -> str:
    operations = line_of(minutes, ["unlimited"] * (len(minutes) - 1))
    return scenario(operations, line={"pallets": pallets}, length=length, warm_up=WARM_UP)


def check_throughput(means_min: list[float], pallets: int, expected: float, seed: int, length: float) -> None:
    text = loop([exponential(mean) for mean in means_min], pallets, length)
    found, known = replicate(text, seed, line_figures, lambda result: cutting_controls(result, means_min))
    agree({"throughput": expected}, found, known)


@pytest.mark.parametrize("at", range(4))
def test_the_practical_worst_case_of_eight_machines(at: int) -> None:
    of = case("pwc_8")
    means_min = [1.0 / of.parameters["rate"]] * of.parameters["stations"]
    check_throughput(means_min, of.parameters["wip"][at], of.expected["throughput"][at], of.seed + 1000 * at, 1_500.0)


@pytest.mark.parametrize("at", range(4))
def test_the_practical_worst_case_of_four_machines(at: int) -> None:
    of = case("penny_4")
    means_min = [of.parameters["mean_time"]] * of.parameters["stations"]
    expected = of.expected["practical_worst_exponential"][at]
    check_throughput(means_min, of.parameters["wip"][at], expected, of.seed + 1000 * at, 2_500.0)


@pytest.mark.parametrize("at", range(4))
def test_the_best_case_has_fixed_times(at: int) -> None:
    of = case("penny_4")
    minutes, pallets = of.parameters["mean_time"], of.parameters["wip"][at]
    text = loop([minutes] * of.parameters["stations"], pallets, length=800.0)
    # Counting from the middle of a cycle keeps every part off the edges of the counted time.
    text = text.replace(f"warm_up: {WARM_UP}", f"warm_up: {WARM_UP + 0.5 * minutes}")
    result = run(works_from_text(text), engine="fast")
    assert result.plan.warm_up_min == WARM_UP + 0.5 * minutes
    rate = float(result.lines["shipped"].iloc[0]) / result.tally.counted_min
    assert rate == pytest.approx(of.expected["best_deterministic"][at], abs=1e-9)


def test_an_unbalanced_loop_by_mean_values() -> None:
    of = case("conwip_3")
    means_min, pallets = of.parameters["mean_times"], of.parameters["wip"]
    text = loop([exponential(mean) for mean in means_min], pallets, 6_000.0)

    def figures(result: Result) -> dict[str, float]:
        here = [
            float(stock + held)
            for stock, held in zip(result.operations["mean_stock"], result.machines["cutting_share"], strict=True)
        ]
        throughput = float(result.lines["shipped"].iloc[0]) / result.tally.counted_min
        return {
            "throughput": throughput,
            "mean_at_station[0]": pallets - sum(here[1:]),
            "mean_at_station[1]": here[1],
            "mean_at_station[2]": here[2],
            "flow_time": pallets / throughput,
        }

    expected = {f"mean_at_station[{at}]": value for at, value in enumerate(of.expected["mean_at_station"])}
    expected |= {name: of.expected[name] for name in ("throughput", "flow_time")}
    found, known = replicate(text, of.seed, figures, lambda result: cutting_controls(result, means_min))
    agree(expected, found, known)
