"""The arrays of a run, known to its world record by their addresses."""

from __future__ import annotations

from typing import Any

import numpy as np
import numpy.typing as npt

from linesim.fast.memory import address_of, dtype_of, records, table_dtype
from linesim.fast.state import World
from linesim.plan.plan import Plan

__all__ = ["AnyArray", "Arrays", "rows_of"]

AnyArray = npt.NDArray[Any]

_WORDS = {name: offset // 8 for name, (_, offset, *_) in (dtype_of(World).fields or {}).items()}
"""Of each field of a world, at which of its words of eight bytes it lies; to write there takes a sixth of the time."""


def rows_of(table: Any, kind: type) -> AnyArray:
    """A table of the plan, row by row; columns that have been taken out are 0."""
    rows = np.zeros(max(len(table[0]), 1), dtype=table_dtype(kind))
    for name, column in zip(table._fields, table, strict=True):
        if column is not None:
            rows[name][: len(column)] = column
    return rows


class Arrays:
    """Arrays of a run by name, and the world record that ties them together.

    Parameters
    ----------
    plan : Plan
        What is run.
    worlds : array of World, (1,), optional
        Its world record; a new one unless given.
    """

    def __init__(self, plan: Plan, worlds: AnyArray | None = None) -> None:
        self.plan = plan
        self.arrays: dict[str, AnyArray] = {}
        self.worlds = records(World, 1) if worlds is None else worlds
        self.world = self.worlds[0]
        self._words = self.worlds.view(np.int64)

    def keep(self, name: str, array: AnyArray) -> AnyArray:
        """Keep an array and note its address in the world."""
        self.arrays[name] = array
        self._words[_WORDS[name]] = address_of(array)
        return array
