"""Tables of the plan: all that a run needs of each kind of thing, as flat typed arrays.

Indices are whole numbers counted
from 0 over the whole works (operations, machines, cuts, features, ...); ``NONE`` stands where there is no such thing.
Ranges are given as first and end, the end not included. Units are those of the model: minutes, mm, µm per side, N/µm.
"""

from __future__ import annotations

from enum import IntEnum
from typing import NamedTuple

import numpy as np
import numpy.typing as npt

from linesim.cutting.conditions import CutConditions

__all__ = [
    "NONE",
    "UNLIMITED",
    "Cuts",
    "Disturbances",
    "Features",
    "Floats",
    "Gauges",
    "Ints",
    "Kinds",
    "Lines",
    "Machines",
    "Mounts",
    "Operations",
    "Pools",
    "Reject",
    "RenewalWay",
    "Rules",
    "Strokes",
    "Times",
    "conditions_of",
]

Floats = npt.NDArray[np.float64]
Ints = npt.NDArray[np.int64]

NONE = -1
"""Where an index points nowhere."""

UNLIMITED = 2**40
"""Capacity of a buffer without a limit."""


class RenewalWay(IntEnum):
    """How a dull set becomes sharp."""

    REGROUND = 0
    INDEXED = 1
    DRESSED = 2
    BOUGHT = 3


class Reject(IntEnum):
    """What becomes of a part that a gauge turns down."""

    SCRAP = 0
    SALVAGE = 1
    PASS = 2


class Times(NamedTuple):
    """Every length of time of the plan; the engines refer to a row by its index."""

    distribution: Ints
    p1: Floats
    p2: Floats
    p3: Floats
    list_first: Ints
    list_end: Ints
    listed: Floats
    """Values of all the listed times, one after another."""


class Lines(NamedTuple):
    """Lines: what comes in and how parts are held."""

    first_operation: Ints
    end_operation: Ints
    first_feature: Ints
    end_feature: Ints
    arrival_time: Ints
    turn_away: Ints
    castings: Ints
    pallets: Ints


class Operations(NamedTuple):
    """Operations, line after line, in the order of the routing."""

    line: Ints
    first_machine: Ints
    end_machine: Ints
    buffer: Ints
    cycle_time: Ints
    load_time: Ints
    unload_time: Ints
    access_time: Ints
    setters: Ints
    fitters: Ints
    first_stroke: Ints
    end_stroke: Ints
    first_kind: Ints
    end_kind: Ints
    """Range in ``Plan.kind_of_slot``: the cutter sets that each machine of the operation mounts."""
    failure_time: Ints
    repair_time: Ints
    scrap_chance: Floats
    recut_chance: Floats
    chip_feature: Ints
    chip_chance: Floats
    chip_clean_time: Ints
    chip_thickness_um: Floats
    chip_thickness_cv: Floats
    chip_scratch_um: Floats
    chip_scratch_cv: Floats
    first_gauge: Ints
    end_gauge: Ints
    first_disturbance: Ints
    end_disturbance: Ints
    rank: Ints
    """Order in which operations are served among equals: downstream first, then by line."""


class Machines(NamedTuple):
    """Machines, operation after operation."""

    operation: Ints
    number: Ints
    """Number among the like machines, from 1."""
    first_mount: Ints
    end_mount: Ints


class Mounts(NamedTuple):
    """Slots on machines where a cutter set sits: one for each kind that the machine uses."""

    machine: Ints
    kind: Ints
    rule: Ints
    expected_life_min: Floats
    """Cutting minutes that an average edge lasts here; infinite where the set does not dull."""


class Strokes(NamedTuple):
    """Strokes, operation after operation."""

    cut_min: Floats
    """Minutes of the longest cut."""
    first_cut: Ints
    end_cut: Ints


class Cuts(NamedTuple):
    """Cuts, stroke after stroke, with all that the law of the cut needs."""

    feature: Ints
    slot: Ints
    """Which of the machine's mounts does the cut, from 0."""
    passes: Ints
    at_once: Ints
    pass_min: Floats
    cut_min: Floats
    life_min: Floats
    depth_mm: Floats
    radial_force_n: Floats
    cutting_stiffness_n_um: Floats
    stiffness_n_um: Floats
    force_growth: Floats
    wear_limit_mm: Floats
    wear_b: Floats
    wear_tau: Floats
    wear_gamma: Floats
    tan_clearance: Floats
    repeatability_um: Floats
    stress_um: Floats
    sharp_roughness_um: Floats
    roughness_growth: Floats
    roughness_power: Floats
    roughness_sigma: Floats
    roughness_floor_um: Floats


def conditions_of(cuts: Cuts, cut: int) -> CutConditions:
    """What the law of the cut needs to know of one cut."""
    return CutConditions(*(float(getattr(cuts, name)[cut]) for name in CutConditions._fields))


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


class Features(NamedTuple):
    """Features, line after line."""

    first_place: Ints
    """Index of the first place within the part."""
    places: Ints
    spread_um: Floats
    cast_roughness_um: Floats
    low_um: Floats
    """Lower limit of the error, µm per side; minus infinity where the drawing gives none."""
    high_um: Floats
    roughness_limit_um: Floats
    scratch_limit_um: Floats
    size_cap_um2: Floats
    """Square of the error at which the loss reaches its cap; infinite without one."""
    roughness_cap_um2: Floats
    scratch_cap_um2: Floats
    move_chance: Floats
    move_scratch_um: Floats
    move_scratch_cv: Floats


class Disturbances(NamedTuple):
    """Features that an operation moves without cutting them."""

    feature: Ints
    sigma_um: Floats


class Gauges(NamedTuple):
    """Gauges, operation after operation."""

    feature: Ints
    reads_size: Ints
    reads_roughness: Ints
    error_um: Floats
    """Standard deviation, µm per side."""
    roughness_error_um: Floats
    every: Ints
    time: Ints
    low_um: Floats
    """Lower limit with the guard band taken off, µm per side."""
    high_um: Floats
    true_low_um: Floats
    """Lower limit without the guard band, µm per side."""
    true_high_um: Floats
    roughness_limit_um: Floats
    tries: Ints
    reject: Ints
    recut_stroke: Ints
    recut_cut: Ints
    maker_operation: Ints
    maker_slot: Ints
    """Operation and mount that made the last cut of the feature before the gauge."""
    corrects_operation: Ints
    corrects_cut: Ints
    correction_share: Floats
    dead_band_um: Floats


class Rules(NamedTuple):
    """Tool-change rules of the policy."""

    way: Ints
    interval: Floats
    """Parts, cutting minutes, parts between looks, or shifts, as the rule counts."""
    limit_mm: Floats
    look_time: Ints
    look_error_mm: Floats
    size_um: Floats
    roughness_um: Floats
    own: Ints
    """Index in ``Plan.own_rules``."""


class Pools(NamedTuple):
    """Pools of people."""

    people: Ints
