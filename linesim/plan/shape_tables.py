"""Tables of the plan on the shape of the line, one row for each operation."""

from __future__ import annotations

from typing import NamedTuple

from linesim.plan.column_types import NONE, Floats, Ints
from linesim.plan.columns import Rows
from linesim.plan.times import TimeTable
from linesim.works.operations import Operation

__all__ = ["Batches", "add_batch", "handled_for_each"]


class Batches(NamedTuple):
    """What each machine of an operation takes at once."""

    most: Ints
    """0 where it takes one part after another."""
    least: Ints
    waits_min: Floats
    """How long the first part waits for others at most, if there are ``least``."""
    load_time: Ints
    unload_time: Ints
    """Loading and unloading of a whole batch; ``NONE`` where each part takes its own."""


def handled_for_each(operation: Operation) -> bool:
    """Whether loading and unloading take their time for each part."""
    return operation.batch is None or operation.batch.loaded == "one by one"


def add_batch(rows: Rows[Batches], operation: Operation, times: TimeTable) -> None:
    """Enter the row of one operation."""
    batch = operation.batch
    if batch is None:
        rows.add(most=0, least=0, waits_min=0.0, load_time=NONE, unload_time=NONE)
        return
    together = batch.loaded == "together"
    rows.add(
        most=batch.most,
        least=batch.least,
        waits_min=batch.waits,
        load_time=times.add(operation.load) if together else NONE,
        unload_time=times.add(operation.unload) if together else NONE,
    )
