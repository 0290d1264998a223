"""Tables of the plan on the part: its features, the cuts that make them, and the gauges that read them.

Indices, ranges and units are those of `linesim.plan.tables`, which hands these on.
"""

from __future__ import annotations

from enum import IntEnum
from typing import NamedTuple

from linesim.cutting.conditions import CutConditions
from linesim.plan.column_types import Floats, Ints

__all__ = ["Cuts", "Disturbances", "Features", "Gauges", "Reject", "Strokes", "conditions_of"]


class Reject(IntEnum):
    """What becomes of a part that a gauge turns down."""

    SCRAP = 0
    SALVAGE = 1
    PASS = 2


class Strokes(NamedTuple):
    """Strokes, operation after operation."""

    cut_min: Floats
    """Minutes of the longest cut."""
    first_cut: Ints
    end_cut: Ints
    stops_at_size: Ints
    """Whether one of its cuts goes on until a gauge says that the size is reached."""
    types: Ints
    """Part types for which it is made, see `type_tables`."""
    has_only: Ints
    """Whether some of its cuts are not made for all of these."""
    meets_sand: Ints
    """Whether one of its cuts may hit sand in the casting's skin."""


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
    cutting_stiffness_n_um: Floats
    wear_slope_n_um: Floats
    stiffness_n_um: Floats
    wear_force_n: Floats
    wear_limit_mm: Floats
    tan_clearance: Floats
    repeatability_um: Floats
    stress_um: Floats
    wear_b: Floats
    wear_tau: Floats
    wear_gamma: Floats
    least_metal_um: Floats
    least_metal_rise_um: Floats
    lift_to_size: Floats
    """Size that a chip under the part cuts away too much, for each µm of it."""
    has_additions: Ints
    """Whether more bears on the error than the edge, its setting and what it finds: one of the following."""
    leads: Ints
    """Whether it is the leader of another."""
    leader: Ints
    """The cut before it in the stroke whose blade sits on the same bar."""
    follow_share: Floats
    follow_um_n: Floats
    """See `linesim.cutting.bar.followed_um`."""
    own_um: Floats
    """What a reamer ground to a given diameter leaves on, and what was cut on a warm part."""
    wheel_um_min: Floats
    """What the wheel's wear adds to the error for each minute that it has ground since it was dressed."""
    infeed_um_min: Floats
    spark_out_min: Floats
    spark_out_constant_min: Floats
    """See `linesim.cutting.wheel.not_sparked_out_um`; 0 without a wheel's figures."""
    honing_um_min: Floats
    """Rate of honing that stops at size; 0 of other cuts."""
    radial_force_n: Floats
    sharp_roughness_um: Floats
    roughness_growth: Floats
    roughness_power: Floats
    roughness_past: Floats
    roughness_sigma: Floats
    roughness_floor_um: Floats
    glazed_roughness_um: Floats
    settling_share: Floats
    cutting_force_n: Floats
    """Of all edges in the cut, sharp."""
    wear_cutting_n: Floats
    """What wear adds to it by w = 1."""
    operation: Ints
    is_held: Ints
    """Whether locating, fixtures, the machine's warmth or the room move the size, see `place_tables.Placings`."""
    carries: Ints
    """Whether its feature carries position, tilt and form."""
    aim_um: Floats
    """How much deeper than intended a fresh edge is set."""
    rezero_aim_um: Floats
    """The same when it is set anew after the parts of `Mounts.rezero_parts`."""
    is_read_first: Ints
    """Whether a first piece tells what it does: it is the last cut of its feature at the operation."""
    heat_um: Floats
    """The part of ``own_um`` that is due to the heat of cuts."""
    types: Ints
    """Part types for which it is made."""
    hit_chance: Floats
    """Chance that one part's skin chips its edge; 0 where it runs in sound metal."""
    hit_land_mm: Floats
    hit_land_more_mm: Floats
    """Least land that a hit adds, and how much more it may be."""
    hit_breaks: Floats
    """Share of hits in which the edge breaks."""


def conditions_of(cuts: Cuts, cut: int) -> CutConditions:
    """What the law of the cut needs to know of one cut."""
    return CutConditions(*(float(getattr(cuts, name)[cut]) for name in CutConditions._fields))


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
    roughness_low_um: Floats
    """Least Ra allowed; 0 where smaller is better."""
    roughness_aim_um: Floats
    smooth_weight: Floats
    rough_weight: Floats
    """What a square of Ra's distance from its aim counts for the loss, below and above the aim; 1 as a rule."""
    carries: Ints
    """Whether its places carry position, tilt and form, see `linesim.plan.place_tables.Shapes`."""
    is_gauged: Ints
    """Whether a gauge reads its size, so that it matters who moved it."""
    types: Ints
    """Part types that have it."""


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
    roughness_low_um: Floats
    bias_um: Floats
    """µm per side, as the next one; plus reads more metal left on."""
    drift_um_h: Floats
    wanders_um: Floats
    """Standard deviation of how it wanders at random after one hour, µm per side."""
    master_every: Ints
    """Parts read from one mastering to the next; 0 for none."""
    master_time: Ints
    reads_shape: Ints
    """Whether it reads any of the three that follow; their limits are those of the feature, see `Shapes`."""
    reads_position: Ints
    reads_tilt: Ints
    reads_form: Ints
    position_error_um: Floats
    tilt_error_um: Floats
    form_error_um: Floats
    types: Ints
    """Part types that it reads."""
    in_room: Ints
    """Whether it reads in the measuring room of its operation."""
    in_spindle: Ints
    """Whether it is a touch probe in the spindle, which reads before the part is unclamped."""
