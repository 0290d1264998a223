"""Numbers of the kinds of change rule, and whole parts."""

from __future__ import annotations

import math
from enum import IntEnum

__all__ = ["RuleWay", "whole_parts"]


class RuleWay(IntEnum):
    """Number by which plan and engines know a kind of rule."""

    PARTS = 0
    MINUTES = 1
    CHECK = 2
    GAUGE = 3
    SHIFT = 4
    RUN_OUT = 5
    OWN = 6
    LOAD = 7


def whole_parts(parts: float) -> float:
    """Whole parts, at least one; infinity stays. A hair above a whole number is rounding, not a part more."""
    return parts if math.isinf(parts) else float(max(1, math.ceil(parts * (1.0 - 1e-9))))
