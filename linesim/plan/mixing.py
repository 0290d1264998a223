"""From the part types of a scenario to the plan's tables."""

from __future__ import annotations

import math
from itertools import accumulate
from typing import Any

from linesim.plan.branches import branch_columns
from linesim.plan.columns import Rows
from linesim.plan.joining import JoinTable
from linesim.plan.tables import NONE
from linesim.plan.times import TimeTable, mean_minutes
from linesim.plan.type_tables import (
    ALL_TYPES,
    TURN_ALL,
    TURN_WAITING,
    Changeovers,
    Mixes,
    PartTypes,
    Sequence,
    TypeTimes,
)
from linesim.works.model import Line, Works
from linesim.works.operations import Operation, Stroke
from linesim.works.part_types import Sequence as Order
from linesim.works.types_of import cut_types, feature_types, names_for, shares_of, type_names

__all__ = ["SEQUENCES", "MixTable", "arrivals_of", "feature_mask", "kind_mask", "mask_of", "stroke_mask"]

SEQUENCES: dict[Order, Sequence] = {
    "oldest first": Sequence.OLDEST,
    "same type first": Sequence.SAME_TYPE,
    "least changeover": Sequence.LEAST_CHANGEOVER,
    "in turn": Sequence.IN_TURN,
}
_TURNS = {"all": TURN_ALL, "those waiting": TURN_WAITING}


def mask_of(line: Line, names: tuple[str, ...]) -> int:
    """Types of a line as a number with a bit for each."""
    types = type_names(line)
    return ALL_TYPES if len(names) == len(types) else sum(1 << types.index(name) for name in names)


def feature_mask(line: Line, feature: str) -> int:
    """Types that have a feature."""
    return mask_of(line, feature_types(line, feature))


def stroke_mask(line: Line, operation: Operation, stroke: Stroke) -> int:
    """Types for which any cut of a stroke is made."""
    names = {name for cut in stroke.cuts for name in cut_types(line, operation, stroke, cut)}
    return mask_of(line, tuple(names))


def kind_mask(line: Line, operation: Operation, kind: str) -> int:
    """Types that a kind of cutter set cuts at an operation; all where that is given by its minutes."""
    cuts = [(stroke, name) for stroke in operation.strokes.values() for name in stroke.cuts]
    of_cuts = [cut_types(line, operation, *cut) for cut in cuts if cut[0].cuts[cut[1]].cutter == kind]
    return mask_of(line, tuple({name for names in of_cuts for name in names})) if of_cuts else ALL_TYPES


def arrivals_of(line: Line, batches: dict[str, int]) -> tuple[list[float], list[int]]:
    """Columns ``share_to`` and ``batch_to`` of the types of a line; ``batches`` by type, empty for those by share."""
    names = type_names(line)
    if batches:
        return [math.inf] * len(names), list(accumulate(batches[name] for name in names))
    return [*accumulate(shares_of(line)[:-1]), math.inf], [0] * len(names)


def _sequence(operation: Operation, here: tuple[str, ...]) -> Sequence:
    """How machines of an operation choose among what waits, where the parts of these types come."""
    if operation.joins:
        return Sequence.MATCHED
    return SEQUENCES[operation.sequence] if len(here) > 1 else Sequence.OLDEST


class MixTable:
    """Fills the tables of part types."""

    def __init__(self, works: Works, times: TimeTable) -> None:
        self._pools, self._times = {name: number for number, name in enumerate(works.people)}, times
        self.types, self.mixes = Rows(PartTypes), Rows(Mixes)
        self.changeovers, self.type_times = Rows(Changeovers), Rows(TypeTimes)
        self.names: list[str] = []
        self._forks = 0
        self.joins = JoinTable(works)

    def add_line(self, number: int, line: Line) -> dict[str, int]:
        """Enter the types of a line and what they mean at its operations; returns their range."""
        first = len(self.types)
        batches = {name: each.batch for name, each in line.parts.items() if each.batch is not None}
        for name, share_to, batch_to in zip(type_names(line), *arrivals_of(line, batches), strict=True):
            self.types.add(line=number, share_to=share_to, batch_to=batch_to, batch_of=len(self.types) - first)
            self.names.append(name)
        for operation in line.operations.values():
            changeover, here = operation.changeover, names_for(line, operation.only)
            by = None if changeover is None else changeover.by
            self.mixes.add(
                types=mask_of(line, here),
                sequence=int(_sequence(operation, here)),
                turn=_TURNS[operation.turn] if isinstance(operation.turn, str) else operation.turn,
                first_changeover=self._add_changeovers(line, operation),
                people=NONE if by is None else self._pools[by],
                first_time=self._add_times(line, operation),
                **branch_columns(line, operation, self._forks),
                **self.joins.add_operation(len(self.mixes), line, operation),
            )
        self._forks += len(line.branches)
        return {"first_type": first, "end_type": len(self.types)}

    def tables(self) -> dict[str, Any]:
        """All tables, by their names in the plan."""
        return {
            "part_types": self.types.table(),
            "mixes": self.mixes.table(),
            "changeover_times": self.changeovers.table(),
            "type_times": self.type_times.table(),
            "joins": self.joins.rows.table(),
        }

    def _add_changeovers(self, line: Line, operation: Operation) -> int:
        spec, names = operation.changeover, type_names(line)
        if spec is None or len(names) == 1:
            return NONE
        first = len(self.changeovers)
        for before in names:
            for after in names:
                spread = spec.from_to.get(before, {}).get(after, spec.minutes)
                is_one = before != after
                mean_min = mean_minutes(spread) if is_one else 0.0
                self.changeovers.add(time=self._times.add(spread) if is_one else NONE, mean_min=mean_min)
        return first

    def _add_times(self, line: Line, operation: Operation) -> int:
        names = type_names(line)
        if operation.minutes is None or not operation.minutes_by_type:
            return NONE
        first = len(self.type_times)
        for name in names:
            self.type_times.add(time=self._times.add_always(operation.minutes_by_type.get(name, operation.minutes)))
        return first
