"""The pools that parts go through: yards, buffers and dispatches, numbered as the floor numbers them."""

from __future__ import annotations

from typing import NamedTuple

import numpy as np

from linesim.fast import steps
from linesim.fast.layout_joins import way_out
from linesim.fast.layout_rooms import looks_back
from linesim.floor.foreman import Turn
from linesim.plan.plan import Plan
from linesim.plan.shape_tables import Way
from linesim.plan.tables import NONE, UNLIMITED, Ints

__all__ = ["TURNS", "Route", "route_of"]

TURNS = {
    steps.BENCH: Turn.PARTS,
    steps.BUFFER: Turn.PARTS,
    steps.DISPATCH: Turn.PARTS,
    steps.YARD: Turn.PARTS,
    steps.CRIB: Turn.SETS,
    steps.SHELF: Turn.SETS,
    steps.PEOPLE: Turn.PEOPLE,
    steps.DOOR: Turn.DOOR,
    steps.STARTS: Turn.BATCHES,
    steps.WAY: Turn.PARTS,
    steps.DELIVERY: Turn.PARTS,
}
"""When a pool gives out, by its way."""


class Route(NamedTuple):
    """The pools of a route."""

    rows: list[tuple[int, int, int]]
    """Way, number and capacity of each pool."""
    yards: Ints
    """Pool of each line's castings."""
    sources: Ints
    """Pool from which each operation takes its parts."""
    targets: Ints
    """Pool to which each operation passes them on."""
    benches: Ints
    """Pool of the parts that wait to be repaired after each test."""
    asides: Ints
    """Pool of the first pieces of each machine that wait to be gauged while it runs on."""
    docks: Ints
    """Pool in which parts wait for a carrier to each operation."""
    trays: Ints
    """Pool of the parts that are sent to each operation's measuring room."""
    held: Ints
    """Pool of the parts of each machine that stand in quarantine or are swept back."""


def route_of(plan: Plan) -> Route:
    """The yards, dispatches and buffers of a works, in the order of the floor."""
    room = plan.moves.room.tolist()
    yards = np.full(len(plan.lines.castings), NONE)
    rows: list[tuple[int, int, int]] = []
    benches = np.full(len(plan.tests.operation), NONE)
    of = plan.machines.operation
    asides, held = np.full(len(of), NONE), np.full(len(of), NONE)
    sources, targets, docks, trays = (np.full(len(room), NONE) for _ in range(4))
    holds = looks_back(plan)
    for line, (first, end) in enumerate(zip(plan.lines.first_operation, plan.lines.end_operation, strict=True)):
        yards[line] = len(rows)
        rows += [(steps.YARD, line, 0), way_out(plan, line)]
        for operation in range(end - 1, first, -1):
            targets[operation], sources[operation] = len(rows) - 1, len(rows)
            keeps_order = plan.moves.way[operation] in (Way.MINUTES, Way.CONVEYOR)
            rows.append((steps.WAY if keeps_order else steps.BUFFER, operation, room[operation]))
            if plan.moves.way[operation] == Way.CARRIERS:
                docks[operation] = len(rows)
                rows.append((steps.BENCH, operation, 0))
        targets[first], sources[first] = len(rows) - 1, yards[line]
        for test in np.flatnonzero((plan.tests.operation >= first) & (plan.tests.operation < end)).tolist():
            if plan.tests.benches[test]:
                benches[test] = len(rows)
                rows.append((steps.BENCH, test, UNLIMITED))
        for machine in np.flatnonzero((of >= first) & (of < end) & (plan.first_pieces.runs_on[of] > 0)).tolist():
            asides[machine] = len(rows)
            rows.append((steps.BENCH, machine, UNLIMITED))
        for operation in (first + np.flatnonzero(plan.rooms.benches[first:end])).tolist():
            trays[operation] = len(rows)
            rows.append((steps.BENCH, operation, UNLIMITED))
            for machine in np.flatnonzero(of == operation).tolist() if holds[operation] else []:
                held[machine] = len(rows)
                rows.append((steps.BENCH, machine, UNLIMITED))
    return Route(rows, yards, sources, targets, benches, asides, docks, trays, held)
