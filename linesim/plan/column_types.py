"""What the columns of the plan's tables are made of, and the values that stand for "none" and "no limit"."""

from __future__ import annotations

import numpy as np
import numpy.typing as npt

__all__ = ["NONE", "UNLIMITED", "Floats", "Ints"]

Floats = npt.NDArray[np.float64]
Ints = npt.NDArray[np.int64]

NONE = -1
"""Where an index points nowhere."""

UNLIMITED = 2**40
"""Capacity of a buffer without a limit."""
