"""Lines of machines that break down: exact by Markov chain, and one close to its fluid limit.

Failures run on cutting time, a stopped part is resumed. Sources with each case in tests/data/line_cases.json. Accepted
as told in `tests.theory.evidence`; control variates are minutes cut against parts done, failures against minutes cut
and minutes of repair against failures, for each operation.
"""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest

from linesim.result import Result
from tests.theory.evidence import agree, estimate, flat, replicate
from tests.theory.lines import case, exponential, line_of, scenario
from tests.theory.measures import LINE_FIGURES, cutting_controls, line_figures, repair_controls

WARM_UP = 500.0
LENGTHS = {
    "unrel_2_b5": 7_000.0,
    "unrel_3_b2": 7_000.0,
    "gb_1.0_1.0_b0": 6_000.0,
    "gb_1.0_1.0_b8": 8_000.0,
    "gb_2.0_1.5_b4": 4_000.0,
}


def breaking_down(minutes: list[Any], buffers: list[int], between_min: list[float], repair_min: list[float]) -> Any:
    """Operations with exponential times to failure and exponential repairs."""
    operations = line_of(minutes, buffers)
    for operation, between, repair in zip(operations.values(), between_min, repair_min, strict=True):
        operation["breakdowns"] = {"between": exponential(between), "repair": exponential(repair)}
    return operations


@pytest.mark.parametrize("name", LENGTHS)
def test_a_line_with_exponential_times_failures_and_repairs(name: str) -> None:
    of = case(name)
    stations = of.parameters["stations"]
    means_min = [1.0 / station["mu"] for station in stations]
    between_min, repair_min = [1.0 / station["p"] for station in stations], [1.0 / station["r"] for station in stations]
    minutes = [exponential(mean) for mean in means_min]
    operations = breaking_down(minutes, of.parameters["buffers"], between_min, repair_min)

    def controls(result: Result) -> list[float]:
        return [*cutting_controls(result, means_min), *repair_controls(result, between_min, repair_min)]

    text = scenario(operations, length=LENGTHS[name], warm_up=WARM_UP)
    agree(flat(of.expected, LINE_FIGURES), *replicate(text, of.seed, line_figures, controls))


def slotted_times(fail: float, repair: float, count: int, seed: list[int]) -> list[float]:
    """Times of parts on a machine that fails with a chance per cycle and is mended with a chance per cycle.

    One cycle, and with the chance of failing a geometric number of cycles more.
    """
    chance = np.random.default_rng(seed)
    stops = np.where(chance.random(count) < fail, chance.geometric(repair, count), 0)
    return [float(1 + stop) for stop in stops]


@pytest.mark.longer
@pytest.mark.parametrize(
    "name", [pytest.param("slotted_0.01_0.01_b8", marks=pytest.mark.longer), "slotted_0.02_0.01_b3"]
)
def test_a_line_that_moves_in_cycles(name: str) -> None:
    """No named distribution is geometric, so the times are given in order, drawn anew for each replication."""
    of = case(name)
    fails, repairs = of.parameters["fail_probability_per_cycle"], of.parameters["repair_probability_per_cycle"]
    means_min = [1.0 + fail / repair for fail, repair in zip(fails, repairs, strict=True)]
    figures, known = [], []
    for replication in range(40):
        minutes = [
            {"in_order": slotted_times(fail, repair, 5_000, [of.seed, replication, at])}
            for at, (fail, repair) in enumerate(zip(fails, repairs, strict=True))
        ]
        text = scenario(line_of(minutes, of.parameters["buffers"]), length=3_000.0, warm_up=300.0)
        found, controls = replicate(
            text, of.seed, line_figures, lambda result: cutting_controls(result, means_min), replications=1
        )
        figures += found
        known += controls
    agree({"throughput": of.expected["throughput"]}, figures, known)


def test_a_quick_line_with_a_large_buffer_is_near_its_fluid_limit() -> None:
    """The limit is reached only by infinitely small parts: 0.5 % is allowed on top of chance."""
    of = case("fluid_98")
    given = of.parameters
    between_min, repair_min = [given["mttf_operating"]] * 2, [given["mttr"]] * 2
    operations = breaking_down([given["cycle"]] * 2, given["buffers"], between_min, repair_min)
    text = scenario(operations, length=1_200.0, warm_up=300.0)

    def controls(result: Result) -> list[float]:
        return repair_controls(result, between_min, repair_min)

    figures, known = replicate(text, of.seed, line_figures, controls)
    found = estimate([each["throughput"] for each in figures], known)
    exact = of.expected["throughput"]
    print(f"throughput {found.mean:.4f} ± {found.half_width:.4f}, fluid limit {exact:.4f}")
    assert found.half_width < 0.01 * exact
    assert abs(found.mean - exact) <= 0.005 * exact + 4.0 * found.standard_error
