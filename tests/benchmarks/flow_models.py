"""The flow line of the benchmark, written by hand in plain SimPy, in salabim and in Ciw, and run as C.

The line: stations in a row, finite buffers of one size between them, fixed cutting minutes, a tool change at each
station every so many parts, made by one of a few setters. Ciw cannot express changes that need people; its line has
the stations and the buffers alone, which is less work, not more.
"""

from __future__ import annotations

import math
import subprocess
import tempfile
import time
from collections.abc import Generator
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from typing import Any

from linesim.plan.build import make_plan
from linesim.plan.plan import Plan
from tests.builders import flow_line

__all__ = ["FlowLine", "Timed", "accounts_of_c", "plan_of", "run_c", "run_ciw", "run_salabim", "run_simpy"]


@dataclass(frozen=True)
class FlowLine:
    """What is run."""

    minutes: tuple[float, ...]
    capacity: int = 5
    every: int = 50
    change_min: float = 3.0
    setters: int = 2

    @staticmethod
    def of(stations: int, setters: int | None = None) -> FlowLine:
        """A line of so many stations whose times differ a little, with a setter for every ten if not told otherwise."""
        minutes = tuple(1.0 + 0.01 * (station % 7) for station in range(stations))
        return FlowLine(minutes, setters=max(stations // 10, 1) if setters is None else setters)


@dataclass(frozen=True)
class Timed:
    """Parts worked at all stations, and the processor seconds that they took."""

    shipped: int
    worked: int
    seconds: float

    @property
    def ns_per_part_operation(self) -> float:
        """Nanoseconds for one part at one station."""
        return self.seconds / self.worked * 1e9


def plan_of(line: FlowLine, horizon_min: float) -> Plan:
    """The line as a linesim scenario."""
    count = len(line.minutes)
    cutter = {"sets": 2 * count, "change": line.change_min, "renewal": {"bought": {}}, "breaking": "never", "life": 1e6}
    works = flow_line(
        list(line.minutes),
        [line.capacity] * (count - 1),
        operations={f"Op {10 * at}": {"sets": ["cutter"], "setters": "setters"} for at in range(1, count + 1)},
        works={
            "people": {"setters": {"count": line.setters}},
            "cutters": {"cutter": cutter},
            "policies": {"run out": {"default": {"parts": line.every}}},
        },
        length=horizon_min,
        warm_up=0,
    )
    return make_plan(works, "run out")


def run_simpy(line: FlowLine, horizon_min: float) -> Timed:
    """As one writes it by hand with a store for each buffer and a resource for the setters."""
    import simpy  # noqa: PLC0415

    env = simpy.Environment()
    setters = simpy.Resource(env, line.setters)
    count = len(line.minutes)
    buffers = [simpy.Store(env, line.capacity) for _ in range(count - 1)]
    done = [0] * count

    def station(at: int) -> Generator[Any, Any, None]:
        parts = 0
        while True:
            if at > 0:
                yield buffers[at - 1].get()
            if parts == line.every:
                with setters.request() as setter:
                    yield setter
                    yield env.timeout(line.change_min)
                parts = 0
            yield env.timeout(line.minutes[at])
            parts += 1
            done[at] += 1
            if at < count - 1:
                yield buffers[at].put(1)

    for at in range(count):
        env.process(station(at))
    began = time.process_time()
    env.run(until=horizon_min)
    return Timed(done[-1], sum(done), time.process_time() - began)


def run_salabim(line: FlowLine, horizon_min: float) -> Timed:
    """As one writes it by hand with a store for each buffer and a resource for the setters; without yields."""
    import salabim  # noqa: PLC0415

    salabim.yieldless(False)
    env = salabim.Environment(trace=False, random_seed=1, yieldless=False)
    setters = salabim.Resource("setters", line.setters, env=env)
    count = len(line.minutes)
    buffers = [salabim.Store(f"buffer {at}", capacity=line.capacity, env=env) for at in range(count - 1)]
    done = [0] * count

    class Station(salabim.Component):  # type: ignore[misc]
        def setup(self, number: int) -> None:
            self.number = number

        def process(self) -> Generator[Any, Any, None]:
            at, parts = self.number, 0
            while True:
                part = (yield self.from_store(buffers[at - 1])) if at > 0 else salabim.Component(env=env)
                if parts == line.every:
                    yield self.request(setters)
                    yield self.hold(line.change_min)
                    self.release(setters)
                    parts = 0
                yield self.hold(line.minutes[at])
                parts += 1
                done[at] += 1
                if at < count - 1:
                    yield self.to_store(buffers[at], part)

    for at in range(count):
        Station(number=at, env=env)
    began = time.process_time()
    env.run(till=horizon_min)
    return Timed(done[-1], sum(done), time.process_time() - began)


def run_ciw(line: FlowLine, horizon_min: float) -> Timed:
    """The stations and the finite buffers; parts arrive as fast as the first station takes them."""
    import ciw  # noqa: PLC0415

    count = len(line.minutes)
    fixed = [ciw.dists.Deterministic(minutes) for minutes in line.minutes]
    network = ciw.create_network(
        arrival_distributions=[ciw.dists.Deterministic(line.minutes[0]), *([None] * (count - 1))],
        service_distributions=fixed,
        routing=[[1.0 if to == at + 1 else 0.0 for to in range(count)] for at in range(count)],
        number_of_servers=[1] * count,
        queue_capacities=[line.capacity] * count,
    )
    simulation = ciw.Simulation(network)
    began = time.process_time()
    simulation.simulate_until_max_time(horizon_min)
    seconds = time.process_time() - began
    worked = len(simulation.get_all_records(only=["service"]))
    shipped = simulation.nodes[-1].number_of_individuals
    return Timed(shipped, worked, seconds)


@cache
def _folder() -> tempfile.TemporaryDirectory[str]:
    """Where compiled programs lie while this process lives."""
    return tempfile.TemporaryDirectory()


@cache
def _program(with_accounts: bool) -> Path:
    """``flow.c``, compiled with -O3 by the machine's C compiler."""
    source, program = Path(__file__).with_name("flow.c"), Path(_folder().name) / f"flow-{int(with_accounts)}"
    accounts = ["-DACCOUNTS"] if with_accounts else []
    subprocess.run(["cc", "-O3", *accounts, "-o", str(program), str(source), "-lm"], check=True)
    return program


def _said_by_c(line: FlowLine, horizon_min: float, with_accounts: bool) -> list[str]:
    figures = [len(line.minutes), line.capacity, line.every, line.change_min, line.setters, horizon_min]
    command = [str(_program(with_accounts)), *map(str, figures)]
    minutes = "\n".join(map(repr, line.minutes))
    return subprocess.run(command, input=minutes, capture_output=True, text=True, check=True).stdout.split()


def run_c(line: FlowLine, horizon_min: float, with_accounts: bool = False) -> Timed:
    """The minimal loop of ``flow.c``; with what every run of the engine keeps account of, if told so."""
    said = _said_by_c(line, horizon_min, with_accounts)
    return Timed(int(said[0]), int(said[1]), max(float(said[2]), math.ulp(1.0)))


def accounts_of_c(line: FlowLine, horizon_min: float) -> dict[str, float]:
    """What the loop with accounts has counted, by the names of `linesim.plan.tally.Tally`; minutes, and parts."""
    names = ("cutting_min", "held_up_min", "stock_min", "had_to_wait", "lead_min")
    return dict(zip(names, map(float, _said_by_c(line, horizon_min, True)[3:]), strict=True))
