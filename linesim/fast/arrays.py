"""The arrays of a run, known to its world record by their addresses."""

from __future__ import annotations

from typing import Any

import numpy.typing as npt

from linesim.fast.memory import address_of, records
from linesim.fast.state import World
from linesim.plan.plan import Plan

__all__ = ["AnyArray", "Arrays"]

AnyArray = npt.NDArray[Any]


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

    def keep(self, name: str, array: AnyArray) -> AnyArray:
        """Keep an array and note its address in the world."""
        self.arrays[name] = array
        setattr(self.world, name, address_of(array))
        return array
