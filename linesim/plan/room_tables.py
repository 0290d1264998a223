"""Table of the plan on measuring rooms; indices and units are those of `linesim.plan.tables`."""

from __future__ import annotations

from enum import IntEnum
from typing import NamedTuple

from linesim.plan.column_types import Ints

__all__ = ["Meanwhile", "Rooms"]


class Meanwhile(IntEnum):
    """What happens to other parts until a part has been read in the measuring room."""

    RUNS_ON = 0
    QUARANTINE = 1
    SWEEP_BACK = 2
    STANDS = 3


class Rooms(NamedTuple):
    """Measuring rooms, one row for each operation."""

    benches: Ints
    """Parts that can be read at the same time; 0 where no gauge of the operation reads there."""
    carry_time: Ints
    by: Ints
    """Pool of the people who read."""
    marks: Ints
    """Whether the part goes on at once and only its mark is read."""
    meanwhile: Ints
    """A member of `Meanwhile`."""
    number: Ints
    """Of the room among those of its line, from 0."""
