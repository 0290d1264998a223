"""Table of the plan on magazines; indices and units are those of `linesim.plan.tables`."""

from __future__ import annotations

from typing import NamedTuple

from linesim.plan.column_types import Ints

__all__ = ["Magazines"]


class Magazines(NamedTuple):
    """Magazines, one row for each operation."""

    is_here: Ints
    exchange_time: Ints
    every_shift: Ints
    """Whether what is used up is renewed before the first part of each shift."""
    used_up: Ints
    """Used cutters of a kind for which the setter is called; 0 where none is before the last."""
