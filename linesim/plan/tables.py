"""Tables of the plan: all that a run needs of each kind of thing, as flat typed arrays.

Indices are whole numbers from 0 over the whole works (operations, machines, cuts, ...); ``NONE`` stands where there is
no such thing. Ranges are first and end, the end not included. Units are the model's: minutes, mm, µm per side, N/µm.
"""

from __future__ import annotations

from typing import NamedTuple

from linesim.plan.column_types import NONE, UNLIMITED, Floats, Ints
from linesim.plan.consequence_tables import Tests, TestTerms
from linesim.plan.kind_tables import Breakage, Kinds, RenewalWay
from linesim.plan.part_tables import Cuts, Disturbances, Features, Gauges, Reject, Strokes, conditions_of

__all__ = [
    "NONE",
    "UNLIMITED",
    "Breakage",
    "Cuts",
    "Disturbances",
    "Features",
    "FirstPieces",
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
    "TestTerms",
    "Tests",
    "Times",
    "conditions_of",
]


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
    heat_castings: Ints
    """Castings of one heat; 0 where heats go by time or there are none."""
    heat_min: Floats
    """Worked minutes in which castings are of one heat; 0 where heats go by number or there are none."""
    heat_life_cv: Floats
    heat_force_cv: Floats
    first_failure: Ints
    end_failure: Ints
    """Range of its failures in the field among the tests."""
    first_type: Ints
    end_type: Ints
    """Range of its part types."""


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
    test: Ints
    """What it tests parts for, or ``NONE``."""
    fault_chance: Floats
    """Chance for each part that a machine turns bad, unseen; by how much, its tilt over the distance of the pads."""
    fault_moved_um: Floats
    fault_scatter_um: Floats
    fault_time: Ints
    fault_tilt_um: Floats
    probe_every: Ints
    probe_time: Ints
    probe_finds: Floats
    """Parts from one look for broken cutters to the next; 0 without such a probe; minutes and chance of finding one."""
    prefers: Ints
    """Whether the first of its free machines takes the next part, and not the one that has been free longest."""


class Machines(NamedTuple):
    """Machines, operation after operation."""

    operation: Ints
    number: Ints
    """Number among the like machines, from 1."""
    first_mount: Ints
    end_mount: Ints
    pace: Floats
    """What the minutes of its work are multiplied by."""
    own_position_um: Floats
    own_tilt_um: Floats
    """Error of its own fixture, beside those of the operation's fixtures."""


class Mounts(NamedTuple):
    """Slots on machines where a cutter set sits: one for each kind that the machine uses."""

    machine: Ints
    kind: Ints
    rule: Ints
    expected_life_min: Floats
    """Cutting minutes that an average edge lasts here; infinite where the set does not dull."""
    first_tries: Ints
    """First pieces gauged at most after its change; 0 for none."""
    rezero_parts: Ints
    """Parts after which it is set anew; 0 for never."""
    types: Ints
    """Part types that it cuts there, see `type_tables`."""
    sisters: Ints
    """Cutters of the kind in the machine's magazine, the one at work among them."""


class FirstPieces(NamedTuple):
    """First pieces after a change, one row for each operation."""

    by: Ints
    """Pool of the people who gauge them."""
    time: Ints
    error_um: Floats
    accept_um: Floats
    tries: Ints
    """Pieces after one change at most; 0 where none is gauged."""
    bad: Ints
    """A member of `Reject`."""
    runs_on: Ints
    """Whether the machine goes on cutting until the reading is there."""
    after_changeover: Ints
    """Whether one is gauged after a changeover as well."""


class Rules(NamedTuple):
    """Tool-change rules of the policy."""

    way: Ints
    interval: Floats
    """Parts, cutting minutes, parts between looks, or shifts, as the rule counts."""
    first_look: Floats
    limit_mm: Floats
    look_time: Ints
    look_error_mm: Floats
    size_um: Floats
    roughness_um: Floats
    own: Ints
    """Index in ``Plan.own_rules``."""
    load_past: Floats
    load_readings: Floats
    load_growth: Floats
    load_noise: Floats
    load_per_heat: Floats
    """Of rules by the spindle's load, see `linesim.rules.kind.Figures`."""


class Pools(NamedTuple):
    """Pools of people."""

    people: Ints
    """How many there are, where always as many attend."""
    first_step: Ints
    end_step: Ints
    """Range of its steps in ``Plan.staffing``; empty where always as many attend."""
    hands_over: Ints
    """Whether a job in hand is left when fewer attend."""


class Begins(NamedTuple):
    """How a run begins that does not begin from nothing."""

    parts: Ints
    """By mount: parts that its edge has done."""
    share_per_part: Floats
    """By mount: share of an average edge's life that one part takes."""
    min_per_part: Floats
    """By mount: cutting minutes of one part."""
    is_corrected: Ints
    """By cut: whether a gauge sets its offset."""
    down_min: Floats
    """By machine: minutes of repair that are left."""
    warmth: Floats
    """By machine: from 0, cold, to 1, warm."""
    waiting: Ints
    """By operation: parts that stand before it."""
    sharp: Ints
    at_grinder: Ints
    """By kind: sets that are not mounted; the others are on order."""
