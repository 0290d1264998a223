"""Gauges as they begin: each one on each machine, on its master."""

from __future__ import annotations

import numpy as np

from linesim.fast.arrays import Arrays

__all__ = ["lay_gauges"]


def lay_gauges(layout: Arrays, count: int) -> None:
    """Keep what is counted of each gauge on each machine, and how far it is off; one more, as none has no address.

    Parameters
    ----------
    layout : Arrays
        Of the run.
    count : int
        Gauges of all machines together.
    """
    for name in ("gauged", "read_since", "masterings_so_far", "walk_moves"):
        layout.keep(name, np.zeros(count + 1, dtype=np.int64))
    for name in ("mastered", "walked", "walk_min"):
        layout.keep(name, np.zeros(count + 1))
