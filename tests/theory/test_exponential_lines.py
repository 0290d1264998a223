"""Lines of machines with exponential or Erlang times and small buffers: exact by Markov chain.

Blocking after service, first operation never starved, last never held up; a buffer does not count the places on the
machines. Sources with each case in tests/data/line_cases.json. Accepted as told in `tests.theory.evidence`; the
control variates are the minutes cut at each operation against those to be expected of the parts done there.
"""

from __future__ import annotations

from fractions import Fraction
from typing import Any

import pytest

from linesim.result import Result
from tests.theory.evidence import agree, estimate, flat, replicate
from tests.theory.lines import case, erlang, exponential, line_of, scenario
from tests.theory.measures import LINE_FIGURES, cutting_controls, line_figures

LENGTH, WARM_UP = 3_000.0, 300.0

LINES = (
    "exp_2_b0", "exp_3_b0", "exp_5_b0", "exp_2_b3", "exp_3_b2", "exp_3_unbal", "bowl_flat", "bowl_shaped",
    "erl2_3_b1", "exp_3_b11", "exp_4_b111", "exp_4_b020", "erl4_2_b0", "erl4_3_b00",
)  # fmt: skip


def text_of(means_min: list[float], buffers: list[int], phases: list[int] | None = None, length: float = LENGTH) -> str:
    minutes = [erlang(mean, phase) for mean, phase in zip(means_min, phases or [1] * len(means_min), strict=True)]
    return scenario(line_of(minutes, buffers), length=length, warm_up=WARM_UP)


def throughput_only(result: Result) -> dict[str, float]:
    return {"throughput": line_figures(result)["throughput"]}


def check_throughput(name: str, means_min: list[float], buffers: list[int], expected: float, seed: int) -> None:
    found, known = replicate(
        text_of(means_min, buffers), seed, throughput_only, lambda result: cutting_controls(result, means_min)
    )
    print(name)
    agree({"throughput": expected}, found, known)


@pytest.mark.parametrize("name", LINES)
def test_a_line_of_single_machines(name: str) -> None:
    of = case(name)
    stations = of.parameters["stations"]
    means_min = [1.0 / station["mu"] for station in stations]
    text = text_of(means_min, of.parameters["buffers"], [station.get("phases", 1) for station in stations])
    found, known = replicate(text, of.seed, line_figures, lambda result: cutting_controls(result, means_min))
    agree(flat(of.expected, LINE_FIGURES), found, known)


@pytest.mark.parametrize("at", range(3))
def test_lines_without_buffers_give_hunts_fractions(at: int) -> None:
    of = case("exp_fractions")
    count = of.parameters["stations"][at]
    expected = float(Fraction(of.expected["throughput"][at]))
    check_throughput(f"{count} machines", [1.0] * count, [0] * (count - 1), expected, of.seed + 1000 * at)


PAIRS = ("two_station_0", "two_station_1", "two_station_2", "two_station_4", "two_unbalanced_2")


@pytest.mark.parametrize("name", PAIRS)
def test_two_machines_with_a_buffer_between_them(name: str) -> None:
    of = case(name)
    means_min = [1.0 / rate for rate in of.parameters["mu"]]
    check_throughput(name, means_min, of.parameters["buffers"], of.expected["throughput"], of.seed)


@pytest.mark.parametrize("is_reversed", [False, True])
def test_a_line_run_backwards_gives_as_much(is_reversed: bool) -> None:
    of = case("reversal_3")
    step = -1 if is_reversed else 1
    means_min = [1.0 / rate for rate in of.parameters["mu"]][::step]
    expected = of.expected["throughput_reversed" if is_reversed else "throughput"]
    check_throughput(of.id, means_min, of.parameters["buffers"][::step], expected, of.seed + 1000 * is_reversed)


def test_the_middle_machine_should_be_the_quickest() -> None:
    """The bowl: both lines see the same draws, so that a gain of half a per cent shows in the paired difference."""
    of = case("bowl_optimum_3_b0")
    outer, middle = of.expected["best_outer_mean"], of.expected["best_middle_mean"]
    lines = {"best": [outer, middle, outer], "balanced": [1.0, 1.0, 1.0]}
    figures: dict[str, Any] = {}
    controls: dict[str, Any] = {}
    for name, means in lines.items():
        text = text_of(means, of.parameters["buffers"], length=2.0 * LENGTH)

        def of_run(result: Result, means_min: list[float] = means) -> list[float]:
            return cutting_controls(result, means_min)

        figures[name], controls[name] = replicate(text, of.seed, throughput_only, of_run)
    agree({"throughput": of.expected["throughput"]}, figures["best"], controls["best"])
    agree({"throughput": of.expected["balanced"]}, figures["balanced"], controls["balanced"])
    gains = [
        100.0 * (best["throughput"] / balanced["throughput"] - 1.0)
        for best, balanced in zip(figures["best"], figures["balanced"], strict=True)
    ]
    both = [[*best, *balanced] for best, balanced in zip(controls["best"], controls["balanced"], strict=True)]
    gain = estimate(gains, both)
    print(f"gain {gain.mean:.3f} ± {gain.half_width:.3f} per cent, exact {of.expected['gain_percent']:.3f}")
    assert abs(gain.mean - of.expected["gain_percent"]) <= 4.0 * gain.standard_error
    assert gain.mean > 4.0 * gain.standard_error


def test_two_like_machines_share_a_buffer_with_the_one_behind_them() -> None:
    of = case("parallel_2x1_b2")
    given = of.parameters
    means_min = [1.0 / given["mu1"], 1.0 / given["mu2"]]
    operations = line_of([exponential(mean) for mean in means_min], [given["buffer"]])
    operations["Op 10"]["machines"], operations["Op 20"]["machines"] = given["c1"], given["c2"]
    text = scenario(operations, length=LENGTH, warm_up=WARM_UP)

    def figures(result: Result) -> dict[str, float]:
        working = result.machines.groupby("operation")["cutting_share"].mean()
        return throughput_only(result) | {"util1": working["Op 10"], "util2": working["Op 20"]}

    found, known = replicate(text, of.seed, figures, lambda result: cutting_controls(result, means_min))
    agree(flat(of.expected, ("throughput", "util1", "util2")), found, known)
