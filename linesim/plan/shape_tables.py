"""Tables of the plan on the shape of the line, one row for each operation."""

from __future__ import annotations

from enum import IntEnum
from typing import NamedTuple

from linesim.plan.column_types import NONE, UNLIMITED, Floats, Ints
from linesim.plan.columns import Rows
from linesim.plan.times import TimeTable
from linesim.works.operations import Operation
from linesim.works.transport import transit

__all__ = ["Batches", "Moves", "Way", "add_batch", "add_move", "handled_for_each"]


class Way(IntEnum):
    """How parts come to an operation."""

    AT_ONCE = 0
    MINUTES = 1
    CARRIERS = 2
    CONVEYOR = 3


class Moves(NamedTuple):
    """How parts come to each operation from the one before."""

    way: Ints
    """A member of `Way`."""
    time: Ints
    back_time: Ints
    """``NONE`` where a carrier takes as long back as it took there."""
    carriers: Ints
    room: Ints
    """Parts that the way and the buffer at its end hold together; of carriers, the buffer alone."""
    gap_min: Floats
    """Least minutes from one part to the next."""
    accumulates: Ints
    """Whether parts close up behind one that waits at the end."""


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


def add_move(rows: Rows[Moves], operation: Operation, times: TimeTable) -> None:
    """Enter the row of one operation."""
    move, room = operation.move, UNLIMITED if operation.buffer == "unlimited" else operation.buffer
    if move is None:
        rows.add(way=int(Way.AT_ONCE), time=NONE, back_time=NONE, carriers=0, room=room, gap_min=0.0, accumulates=1)
        return
    way = Way.MINUTES if move.carriers is None else Way.CARRIERS
    rows.add(
        way=int(Way.CONVEYOR if move.is_conveyor else way),
        time=times.add(transit(move)),
        back_time=NONE if move.back is None else times.add_always(move.back),
        carriers=move.carriers or 0,
        room=move.places if move.is_conveyor else room,
        gap_min=move.gap_min if move.is_conveyor else 0.0,
        accumulates=int(move.accumulates),
    )
