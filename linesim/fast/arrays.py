"""The arrays of a run, known to its world record by their addresses."""

from __future__ import annotations

from typing import Any

import numpy as np
import numpy.typing as npt

from linesim.fast.memory import address_of, dtype_of, records
from linesim.fast.state import World
from linesim.plan.plan import Plan

__all__ = ["AnyArray", "Arrays"]

AnyArray = npt.NDArray[Any]

_WORDS = {name: offset // 8 for name, (_, offset, *_) in (dtype_of(World).fields or {}).items()}
"""Of each field of a world, at which of its words of eight bytes it lies; to write there takes a sixth of the time."""


class Arrays:
    """Arrays of a run by name, and the world record that ties them together.

    Parameters
    ----------
    plan : Plan
        What is run.
    """

    def __init__(self, plan: Plan) -> None:
        self.plan = plan
        self.arrays: dict[str, AnyArray] = {}
        self.worlds = records(World, 1)
        self.world = self.worlds[0]
        self._words = self.worlds.view(np.int64)

    def keep(self, name: str, array: AnyArray) -> AnyArray:
        """Keep an array and note its address in the world."""
        self.arrays[name] = array
        self._words[_WORDS[name]] = address_of(array)
        return array
