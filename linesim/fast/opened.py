"""The tally of a compiled run: what it counted lies in its memory, and becomes an array when somebody reads it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import fields
from typing import Any

import numpy as np
import numpy.typing as npt

from linesim.plan.tally import Tally

__all__ = ["Opened", "Spot"]

Spot = tuple[tuple[int, ...], np.dtype[Any], int]
"""Shape, type and first byte of an array within a block of memory."""


class Opened(Tally):
    """A tally whose sums lie in a block of memory.

    To make all of its more than a hundred arrays takes a tenth of a short run; most who ask read a third of them.

    Parameters
    ----------
    block : array of uint8
        The memory.
    spots : mapping of str to Spot
        Where each of the sums lies in it.
    """

    def __init__(self, block: npt.NDArray[np.uint8], spots: Mapping[str, Spot]) -> None:
        self._block, self._spots = block, spots
        self.counted_min, self.is_stuck, self.stuck_at_min = 0.0, False, np.inf

    def __getattr__(self, name: str) -> Any:
        spot = self.__dict__.get("_spots", {}).get(name)
        if spot is None:
            raise AttributeError(f"a tally has no {name}")
        shape, dtype, at = spot
        array = self.__dict__[name] = np.ndarray(shape, dtype, self._block, at)
        return array

    def __reduce__(self) -> tuple[type[Tally], tuple[Any, ...]]:
        """It travels as a plain tally."""
        return Tally, tuple(getattr(self, field.name) for field in fields(Tally))
