"""From lines that meet in a scenario to the plan's rows of what is joined to what."""

from __future__ import annotations

from typing import Any

from linesim.plan.column_types import NONE, UNLIMITED
from linesim.plan.columns import Rows
from linesim.plan.times import TimeTable
from linesim.plan.type_tables import JoinBy, Joins
from linesim.quality.limits import drawing_scale
from linesim.works.joining import Join
from linesim.works.model import Line, Works
from linesim.works.operations import Operation

__all__ = ["FED", "JoinTable", "arrival_columns"]

FED = -2
"""In the place of the time between arrivals: castings come as they are taken off the parts of another line."""


def arrival_columns(works: Works, name: str, line: Line, times: TimeTable) -> dict[str, int]:
    """Columns of a line on how its castings come, and how many come by themselves at most."""
    if any(each.takes_off == name for other in works.lines.values() for each in other.operations.values()):
        return {"arrival_time": FED, "castings": 0}
    arrivals, limit = line.casting.arrivals, line.casting.limit
    return {
        "arrival_time": NONE if arrivals is None else times.add(arrivals.between),
        "castings": UNLIMITED if limit is None else limit,
    }


class JoinTable:
    """Fills the table of what is joined to what."""

    def __init__(self, works: Works) -> None:
        self.rows = Rows(Joins)
        self._works = works
        self._lines = {name: number for number, name in enumerate(works.lines)}

    def add_operation(self, number: int, line: Line, operation: Operation) -> dict[str, Any]:
        """Enter what is joined at an operation of that number; returns its columns on that."""
        first = len(self.rows)
        for name, join in operation.joins.items():
            own_parts = any(each.takes_off == name for each in line.operations.values())
            by = JoinBy.NUMBER if own_parts else JoinBy.ANY if join.classes is None else JoinBy.CLASS
            self.rows.add(
                operation=number,
                line=self._lines[name],
                by=int(by),
                stock=UNLIMITED if join.stock == "unlimited" else join.stock,
                **self._classes(line, name, join),
            )
        off = operation.takes_off
        return {
            "first_join": first,
            "end_join": len(self.rows),
            "takes_off": NONE if off is None else self._lines[off],
        }

    def _classes(self, line: Line, name: str, join: Join) -> dict[str, Any]:
        if join.classes is None:
            return {"own_feature": NONE, "their_feature": NONE, "own_scale": 1.0, "their_scale": 1.0, "width_um": 1.0}
        own, theirs = join.classes.feature, join.classes.to
        other = self._works.lines[name]
        return {
            "own_feature": self._number(line, own),
            "their_feature": self._number(other, theirs),
            "own_scale": drawing_scale(line.features[own]),
            "their_scale": drawing_scale(other.features[theirs]),
            "width_um": join.classes.width,
        }

    def _number(self, line: Line, feature: str) -> int:
        """Number of a feature over the whole works."""
        before = 0
        for each in self._works.lines.values():
            if each is line:
                return before + list(line.features).index(feature)
            before += len(each.features)
        raise AssertionError(feature)
