"""Remarks on people who attend machines or preset sets: paid twice, or called for more than they can do."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from typing import Any

from linesim.plan.times import mean_minutes
from linesim.words import keep
from linesim.works.crib import Cutter
from linesim.works.model import Works
from linesim.works.operations import Operation
from linesim.works.staffing import Attended

__all__ = ["on_operators", "on_presetters"]

_NEARLY_BUSY = 0.9
"""Share of their time from which on people are remarked upon (common practice)."""


def on_operators(works: Works, pace: Mapping[str, float]) -> Iterator[str]:
    """Remarks on those who attend machines.

    Parameters
    ----------
    works : Works
        The checked scenario.
    pace : mapping of str to float
        Parts per minute of each line, at its constraint.

    Yields
    ------
    str
    """
    busy: dict[str, float] = {}
    for name, line in works.lines.items():
        for operation_name, operation in line.operations.items():
            attended = operation.attended
            if attended is None:
                continue
            busy[attended.by] = busy.get(attended.by, 0.0) + pace[name] * _minutes(operation, attended)
            if operation.operators > 0.0:
                where = {"line": name, "operation": operation_name, "pool": attended.by}
                yield keep("desk.paid_beside", **where, operators=operation.operators)
    for pool, people in busy.items():
        attending = works.calendar.attending(works.people[pool])
        present = sum(attending) / len(attending)
        if people > _NEARLY_BUSY * present:
            yield keep("desk.attending", pool=pool, busy=people, present=present)


def on_presetters(works: Works, rows: Sequence[Mapping[str, Any]], pace: Mapping[str, float]) -> Iterator[str]:
    """A remark on those who preset sharp sets, if that alone keeps them busy.

    Parameters
    ----------
    works : Works
        The checked scenario.
    rows : sequence of mapping
        The desk's table of sets, row by row.
    pace : mapping of str to float
        Parts per minute of each line, at its constraint.

    Yields
    ------
    str
    """
    pool, busy = works.crib.presetters, 0.0
    if pool is None:
        return
    for row in rows:
        cutter = works.cutters[row["cutter"]]
        sets_per_part = row["share_of_parts"] / row["parts_between"] / _uses_in_place(cutter)
        busy += mean_minutes(cutter.presetting) * pace[row["line"]] * sets_per_part
    attending = works.calendar.attending(works.people[pool])
    present = sum(attending) / len(attending)
    if busy > _NEARLY_BUSY * present:
        yield keep("desk.presetters", pool=pool, busy=busy, present=present)


def _uses_in_place(cutter: Cutter) -> int:
    """How often a set is changed for each time that it comes to the crib."""
    indexed, dressed = cutter.renewal.indexed, cutter.renewal.dressed
    if indexed is not None:
        return indexed.edges
    return dressed.times + 1 if dressed is not None else 1


def _minutes(operation: Operation, attended: Attended) -> float:
    """Minutes for each part that people attend to it, with one way from machine to machine."""
    minutes = attended.walk
    if "load" in attended.jobs:
        minutes += mean_minutes(operation.load)
    if "unload" in attended.jobs:
        minutes += mean_minutes(operation.unload)
    if "gauge" in attended.jobs:
        minutes += sum(
            mean_minutes(gauge.minutes) / gauge.every for gauge in operation.gauges.values() if gauge.where == "machine"
        )
    return minutes
