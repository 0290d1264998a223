"""What a gauge finds wrong with a place, the worst first."""

from __future__ import annotations

from typing import Any

from linesim.fast import codes
from linesim.fast.compiled import inlined
from linesim.fast.shape_reading import FAULT_FORM, FAULT_PLACE, FAULT_TILT
from linesim.fast.state import Place
from linesim.plan.tables import NONE

__all__ = ["cause_of", "fault_at", "is_good_at"]


@inlined
def fault_at(row: Any, where: Place, size_um: float, rough_um: float) -> int:
    """The worst that is read at one place, 0 for nothing; what cannot be mended is worse than what can."""
    if where.is_clean == 0:
        return 8
    if row.reads_size and size_um < row.low_um:
        return 7
    if row.reads_roughness and rough_um > row.roughness_limit_um:
        return 3
    if row.reads_roughness and rough_um < row.roughness_low_um:
        return 2
    return 1 if row.reads_size and size_um > row.high_um else 0


@inlined
def cause_of(fault: int) -> int:
    """Why a part is turned down that has this fault, or ``NONE``."""
    if fault == 8:
        return codes.CAUSE_NOT_CLEANED_UP
    if fault == 7:
        return codes.CAUSE_CUT_AWAY
    if fault == FAULT_PLACE:
        return codes.CAUSE_OFF_PLACE
    if fault == FAULT_TILT:
        return codes.CAUSE_TILTED
    if fault == FAULT_FORM:
        return codes.CAUSE_OUT_OF_FORM
    if fault == 3:
        return codes.CAUSE_ROUGH
    if fault == 2:
        return codes.CAUSE_SMOOTH
    return codes.CAUSE_METAL_LEFT if fault == 1 else NONE


@inlined
def is_good_at(row: Any, where: Place) -> bool:
    """Whether the place truly is within the limits, the gauge's error and guard band left aside."""
    if where.is_clean == 0:
        return False
    if row.reads_size and not row.true_low_um <= where.error_um <= row.true_high_um:
        return False
    return bool(row.reads_roughness == 0 or row.roughness_low_um <= where.roughness_um <= row.roughness_limit_um)
