"""Operations of a plan with what the scenario says of them."""

from __future__ import annotations

from dataclasses import dataclass

from linesim.ledger.entries import Location
from linesim.plan.plan import Plan
from linesim.works.model import Works
from linesim.works.operations import Operation

__all__ = ["Station", "last_to_cut", "stations_of"]


@dataclass(frozen=True)
class Station:
    """One operation: its number in the plan, its location, what the scenario says of it, its machines and gauges."""

    number: int
    location: Location
    spec: Operation
    machines: slice
    gauges: slice


def stations_of(works: Works, plan: Plan) -> list[Station]:
    """All operations of a works, in the order of the plan."""
    named = [(Location(line, name), spec) for line, row in works.lines.items() for name, spec in row.operations.items()]
    rows = plan.operations
    return [
        Station(
            number,
            location,
            spec,
            slice(int(rows.first_machine[number]), int(rows.end_machine[number])),
            slice(int(rows.first_gauge[number]), int(rows.end_gauge[number])),
        )
        for number, (location, spec) in enumerate(named)
    ]


def last_to_cut(plan: Plan) -> dict[int, int]:
    """Number of the operation that cuts each feature last."""
    last: dict[int, int] = {}
    for operation in range(len(plan.operations.line)):
        for stroke in range(int(plan.operations.first_stroke[operation]), int(plan.operations.end_stroke[operation])):
            cuts = slice(int(plan.strokes.first_cut[stroke]), int(plan.strokes.end_cut[stroke]))
            last |= dict.fromkeys(plan.cuts.feature[cuts].tolist(), operation)
    return last
