"""Queues before one operation or two: exact stationary means.

Parts are castings that arrive one by one before an operation with unlimited room. Sources with each case in
tests/data/line_cases.json. Accepted as told in `tests.theory.evidence`. These queues mix slowly, so their figures are
sharpened by control variates: castings come and minutes cut against those to be expected, and how bunched the drawn
times were (`tests.theory.inputs`).
"""

from __future__ import annotations

from typing import Any, NamedTuple

import pytest

from linesim.chance import Law, Purpose
from linesim.result import Result
from tests.theory.evidence import agree, flat, replicate
from tests.theory.inputs import Drawn, bunching
from tests.theory.lines import case, erlang, exponential, scenario

WARM_UP = 1000.0


class Queue(NamedTuple):
    """A queue in words of the scenario, and how its times are drawn.

    Attributes
    ----------
    between, minutes
        Entries of the scenario.
    length : float
        Counted minutes of one replication.
    arrivals, work : Drawn
        The same two times, as the run draws them.
    machines : int
        Like machines.
    """

    between: Any
    minutes: Any
    length: float
    arrivals: Drawn
    work: Drawn
    machines: int = 1

    @property
    def rate(self) -> float:
        return 1.0 / self.arrivals.p1

    def text(self, **operation: Any) -> str:
        return scenario(
            {"Op 10": {"minutes": self.minutes, "buffer": "unlimited", "machines": self.machines, **operation}},
            line={"casting": {"arrivals": {"between": self.between}}},
            length=self.length,
            warm_up=WARM_UP,
        )

    def controls(self, result: Result) -> list[float]:
        count = int(self.rate * (WARM_UP + self.length))
        return [
            *flows(result, self.rate, [self.work.p1]),
            *bunching(self.work, self.arrivals, 1.0 / self.machines, result.seed, result.replication, count),
        ]


def flows(result: Result, rate: float, means_min: list[float]) -> list[float]:
    """Castings come less those to be expected; of each operation, minutes cut less those its parts should take."""
    counted, line = result.tally.counted_min, result.lines.iloc[0]
    cut, worked = result.machines.groupby("operation")[["cutting_min", "worked"]].sum().to_numpy().T
    came = (line["castings"] + line["turned_away"]) / counted - rate
    return [came, *((cut - worked * means_min) / counted).tolist()]


def figures(result: Result) -> dict[str, float]:
    operation, line, counted = result.operations.iloc[0], result.lines.iloc[0], result.tally.counted_min
    came = line["castings"] + line["turned_away"]
    busy = result.machines[["cutting_share", "under_repair_share"]].sum(axis=1)
    return {
        "rho": float(busy.mean()),
        "utilisation": float(busy.mean()),
        "p_wait": operation["share_waited"],
        "Wq": operation["mean_wait_min"],
        "W": line["mean_lead_min"],
        "time_in_system_all_visits": line["mean_lead_min"],
        "Lq": operation["mean_stock"],
        "L": line["mean_in_line"],
        "throughput": line["shipped"] / counted,
        "p_block": line["turned_away"] / came,
        "visits": 1.0 + operation["recut"] / operation["worked"],
    }


def poisson(rate: float) -> tuple[Any, Drawn]:
    return exponential(1.0 / rate), Drawn(Law.EXPONENTIAL, 1.0 / rate, 0.0, rate**-2, Purpose.ARRIVAL)


def exponential_work(mean_min: float, operation: int = 0) -> tuple[Any, Drawn]:
    law = Drawn(Law.EXPONENTIAL, mean_min, 0.0, mean_min**2, Purpose.CYCLE, operation)
    return exponential(mean_min), law


def fixed_work(minutes: float) -> tuple[Any, Drawn]:
    return minutes, Drawn(Law.FIXED, minutes, 0.0, 0.0, Purpose.CYCLE)


def queue(arrivals: tuple[Any, Drawn], work: tuple[Any, Drawn], length: float, machines: int = 1) -> Queue:
    return Queue(arrivals[0], work[0], length, arrivals[1], work[1], machines)


STATIONARY = ("rho", "p_wait", "Wq", "W", "Lq", "L")

LOGNORMAL = (
    {"lognormal": {"mean": 1.0, "cv": 0.5}},
    Drawn(Law.LOGNORMAL, 1.0, 0.5, 0.25, Purpose.CYCLE),
)
EVERY_75_S = (1.25, Drawn(Law.FIXED, 1.25, 0.0, 0.0, Purpose.ARRIVAL))
IN_TWO_PHASES = (erlang(1.25, 2), Drawn(Law.GAMMA, 1.25, 2.0, 1.25**2 / 2.0, Purpose.ARRIVAL))

QUEUES = {
    "mmc_0.8_1": queue(poisson(0.8), exponential_work(1.0), 64_000.0),
    "mmc_2.4_3": queue(poisson(2.4), exponential_work(1.0), 17_000.0, machines=3),
    "md1_0.8": queue(poisson(0.8), fixed_work(1.0), 25_000.0),
    "mg1_ln_0.75": queue(poisson(0.75), LOGNORMAL, 30_000.0),
    "dm1_0.8": queue(EVERY_75_S, exponential_work(1.0), 16_000.0),
    "e2m1_0.8": queue(IN_TWO_PHASES, exponential_work(1.0), 42_000.0),
}


@pytest.mark.parametrize("name", QUEUES)
def test_a_queue_before_like_machines(name: str) -> None:
    of, model = case(name), QUEUES[name]
    agree(flat(of.expected, STATIONARY), *replicate(model.text(), of.seed, figures, model.controls))


def test_breakdowns_stretch_the_work_of_a_fixed_time() -> None:
    of = case("mg1_breakdown_0.5")
    given = of.parameters
    model = queue(poisson(given["arrival_rate"]), fixed_work(given["service_fixed"]), 45_000.0)
    breakdowns = {"between": exponential(given["mttf_operating"]), "repair": exponential(given["mttr"])}

    def controls(result: Result) -> list[float]:
        machine, counted = result.machines.iloc[0], result.tally.counted_min
        failed = machine["breakdowns"] - machine["cutting_min"] / given["mttf_operating"]
        repaired = machine["under_repair_min"] - machine["breakdowns"] * given["mttr"]
        return [*model.controls(result), failed / counted, repaired / counted]

    agree(flat(of.expected, STATIONARY), *replicate(model.text(breakdowns=breakdowns), of.seed, figures, controls))


def test_castings_that_find_no_room_are_turned_away() -> None:
    of = case("mm1k_0.9_4")
    model = queue(poisson(of.parameters["arrival_rate"]), exponential_work(1.0), 5_000.0)
    text = scenario(
        {"Op 10": {"minutes": model.minutes, "buffer": of.parameters["capacity_incl_service"] - 1}},
        line={"casting": {"arrivals": {"between": model.between, "when_full": "turn away"}}},
        length=model.length,
        warm_up=WARM_UP,
    )
    expected = flat(of.expected, ("p_block", "throughput", "utilisation", "L", "W"))
    agree(expected, *replicate(text, of.seed, figures, lambda result: flows(result, model.rate, [1.0])))


def test_two_operations_with_unlimited_room_between_them() -> None:
    of = case("jackson_2")
    rate, (first, second) = of.parameters["arrival_rate"], of.parameters["service_rates"]
    works = {"Op 10": exponential_work(1.0 / first, 0), "Op 20": exponential_work(1.0 / second, 1)}
    between, arrivals = poisson(rate)
    length = 15_000.0
    text = scenario(
        {name: {"minutes": minutes, "buffer": "unlimited"} for name, (minutes, _) in works.items()},
        line={"casting": {"arrivals": {"between": between}}},
        length=length,
        warm_up=WARM_UP,
    )

    def controls(result: Result) -> list[float]:
        count = int(rate * (WARM_UP + length))
        key = (result.seed, result.replication, count)
        bunched = [value for _, work in works.values() for value in bunching(work, arrivals, 1.0, *key)]
        return [*flows(result, rate, [1.0 / first, 1.0 / second]), *bunched]

    agree(flat(of.expected, ("W", "L", "throughput")), *replicate(text, of.seed, figures, controls))


def test_work_done_again_fills_the_queue_as_feedback_to_its_tail_does() -> None:
    """Recut at once on the machine or after the others: parts present, and so the mean time, are the same in law."""
    of = case("feedback_0.1")
    given = of.parameters
    model = queue(poisson(given["arrival_rate"]), exponential_work(1.0 / given["service_rate"]), 25_000.0)

    def controls(result: Result) -> list[float]:
        operation, counted = result.operations.iloc[0], result.tally.counted_min
        done = operation["worked"] + operation["recut"]
        cut = float(result.machines["cutting_min"].sum()) - done
        again = operation["recut"] - given["rework_probability"] * done
        came, _, *bunched = model.controls(result)
        return [came, cut / counted, again / counted, *bunched]

    text = model.text(recut_chance=given["rework_probability"])
    names = ("rho", "visits", "L", "time_in_system_all_visits")
    agree(flat(of.expected, names), *replicate(text, of.seed, figures, controls))
