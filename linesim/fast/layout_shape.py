"""The shape of the line as a run begins: machines that take several parts at once, and the clocks beside them."""

from __future__ import annotations

import numpy as np

from linesim.fast import steps
from linesim.fast.arrays import AnyArray, Arrays
from linesim.fast.memory import records
from linesim.fast.part_state import PartWay
from linesim.fast.route import Route
from linesim.fast.state import Machine
from linesim.floor.transport import CARRIER
from linesim.plan.plan import Plan
from linesim.plan.shape_tables import Way
from linesim.plan.tables import NONE

__all__ = ["lay_batches", "lay_clocks", "lay_starts", "lay_unlike", "lay_ways", "place_ways"]


def lay_batches(plan: Plan, machines: AnyArray) -> None:
    """Say how many parts each machine takes at once."""
    machines["batch"] = plan.batches.most[plan.machines.operation]
    machines["clock"] = machines["starts"] = NONE


def lay_unlike(plan: Plan, machines: AnyArray) -> None:
    """Say what is each machine's own, and how it asks for parts."""
    table, prefers = plan.machines, plan.operations.prefers[plan.machines.operation]
    machines["pace"] = table.pace
    machines["own_held_um"], machines["own_turned_um"] = table.own_position_um, table.own_tilt_um
    machines["asks"] = np.where(machines["batch"] > 0, steps.BATCH_TAKE, np.where(prefers, steps.FIRST_TAKE, 0))


def lay_clocks(layout: Arrays) -> None:
    """Put a clock behind all machines and benches for each machine whose batches wait for more."""
    plan = layout.plan
    homes = np.flatnonzero(plan.batches.waits_min[plan.machines.operation] > 0.0)
    if not len(homes):
        return
    clocks = _behind(layout, plan.machines.operation[homes], steps.BATCH_CLOCK)
    layout.arrays["machines"]["clock"][homes] = clocks["index"]
    clocks["home"] = homes


def _behind(layout: Arrays, operations: AnyArray, step: int) -> AnyArray:
    """Put records behind all machines and benches, one for each of some operations."""
    w, others = layout.world, layout.arrays["machines"]
    both = records(Machine, len(others) + len(operations))
    both[: len(others)] = others
    more = both[len(others) :]
    more["index"] = np.arange(len(others), len(both))
    for name in ("part", "breaking", "stop_for", "test", "bench", "aside", "source", "target", "clock", "starts"):
        more[name] = NONE
    more["operation"], more["line"] = operations, layout.plan.operations.line[operations]
    more["step"] = step
    layout.keep("machines", both)
    w.n_benches = int(w.n_benches) + len(operations)
    w.n_machines = len(both)
    w.n_needed = int(w.n_machines) + 1
    return more


def lay_ways(layout: Arrays) -> None:
    """Put carriers behind them, and two clocks for each way on which parts keep their order."""
    moves = layout.plan.moves
    ways = layout.keep("ways", records(PartWay, len(moves.way)))
    ways["stands_since"] = -1.0
    carried = np.flatnonzero(moves.way == Way.CARRIERS)
    if len(carried):
        operations = np.repeat(carried, moves.carriers[carried])
        carriers = _behind(layout, operations, steps.CARRY_TAKE)
        number = np.concatenate([np.arange(count) for count in moves.carriers[carried].tolist()])
        carriers["rank"] = layout.plan.operations.rank[operations] * 2**20 + CARRIER + number
    kept = np.flatnonzero((moves.way == Way.MINUTES) | (moves.way == Way.CONVEYOR))
    if len(kept):
        clocks = _behind(layout, np.repeat(kept, 2), steps.WAY_CLOCK)
        ways["head"][kept], ways["entry"][kept] = clocks["index"][::2], clocks["index"][1::2]


def place_ways(layout: Arrays, route: Route) -> None:
    """Say where carriers take parts from and bring them, and which way a clock calls."""
    machines = layout.arrays["machines"]
    carriers = np.flatnonzero(machines["step"] == steps.CARRY_TAKE)
    to = machines["operation"][carriers]
    machines["source"][carriers], machines["target"][carriers] = route.docks[to], route.sources[to]
    clocks = np.flatnonzero(machines["step"] == steps.WAY_CLOCK)
    machines["source"][clocks] = route.sources[machines["operation"][clocks]]


def lay_starts(layout: Arrays, rows: list[tuple[int, int, int]]) -> None:
    """Add a pool behind all others for each machine that may start with fewer parts than it takes."""
    machines = layout.arrays["machines"]
    for machine in layout.arrays["set_up_order"].tolist():
        if machines["batch"][machine]:
            machines["starts"][machine] = len(rows)
            rows.append((steps.STARTS, machine, 0))
