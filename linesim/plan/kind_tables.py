"""Tables of the plan for kinds of cutter set: how they are set, wear, break and become sharp again."""

from __future__ import annotations

from enum import IntEnum
from typing import NamedTuple

from linesim.plan.column_types import Floats, Ints

__all__ = ["Breakage", "Kinds", "RenewalWay"]


class RenewalWay(IntEnum):
    """How a dull set becomes sharp."""

    REGROUND = 0
    INDEXED = 1
    DRESSED = 2
    BOUGHT = 3


class Breakage(IntEnum):
    """What becomes of a part in which a cutter breaks."""

    SCRAP = 0
    SALVAGE = 1
    SPARED = 2


class Kinds(NamedTuple):
    """Kinds of cutter set."""

    sets: Ints
    renewal: Ints
    change_time: Ints
    replace_time: Ints
    broken_time: Ints
    lead_time: Ints
    regrind_time: Ints
    uses: Ints
    """Edges of an indexed set, or dressings of a wheel; how often a set can be renewed in place plus one."""
    stock_mm: Floats
    margin_mm: Floats
    per_wear_land: Floats
    reground_life: Floats
    by_machine: Ints
    life_cv: Floats
    break_shape: Floats
    break_scale: Floats
    """Infinite where an edge never breaks."""
    wear_limit_mm: Floats
    wear_b: Floats
    wear_tau: Floats
    wear_gamma: Floats
    broken: Ints
    """What becomes of the part when a set breaks, a member of `Breakage`."""
    saved_share: Floats
    saving_time: Ints
    dress_mm: Floats
    """Wheel that a dressing takes beyond what has worn, where wheels are used up by their stock; else 0."""
    wheel_mm_min: Floats
    """Wear of the wheel's radius for each minute of grinding."""
    mounted_sigma: Floats
    """Scatter of roughness from one mounted cutter to the next, of its logarithm."""
    known_sigma: Floats
    """Standard deviation of the logarithm of what is not known of the mean life; 0 where it is known."""
    setting_error_um: Floats
    """Standard deviation of how a fresh edge is set, and its mean: plus is deeper."""
    setting_bias_um: Floats
    past_limit: Floats
    """Metal ground away for each mm of land past the wear limit, beyond what its land takes."""
    seen_after: Ints
    """Parts after which it is seen that an edge has broken; 0 where that is seen as it breaks."""
    preset_time: Ints
    """Of presetting a sharp set in the crib, or ``NONE``."""
    setting_step_um: Floats
    """What a reading puts on an offset of its cuts is whole steps of so much; 0: any amount."""
