"""The state of a compiled run on the parts: where they stand, what was done to them, and what gauges read.

Units and links are those of `linesim.fast.state`, which hands these on.
"""

from __future__ import annotations

from linesim.fast.short import Few, Flag, Short

__all__ = ["Note", "Part", "PartWay", "Place", "Shape", "Visit"]


class Part:
    """One casting on its way; what every operation needs stands in its first line of memory."""

    serial: int
    came_min: float
    since_min: float
    """Since when it stands in its buffer."""
    heat_life: float
    heat_force: float
    """What the heat that it was cast from multiplies edge life and cutting force by."""
    next: Short
    prev: Short
    """Those that stand behind it and before it; of the first in a row, the latter says nothing."""
    line: Short
    tries: Short
    type: Short
    """Its part type among those of its line."""
    rounds: Short
    """How often it has been repaired."""
    put_right: int
    """One bit for each cause that a repair has put right."""
    sampled: int
    """One bit for each gauge of the operation at hand whose reading in the measuring room it waits for."""
    recalled: int
    """One bit for each operation of its line whose measuring room has it swept back to be sorted."""
    repairs: Short
    failed_test: Short
    blamed: Short
    """Repairs for the test that it failed last, that test, and the term that it was charged to."""
    fate: Short
    fate_feature: Short
    """Of a first piece on its bench: why it will be turned down, or ``NONE``, and for which feature."""
    back: Short
    """The pool that it goes to once it has been sorted; ``NONE`` if it goes on behind its machine."""
    fellow: Short
    """Of a line that meets another: what was taken off it or it was taken off, or ``NONE``."""
    is_first_pass: Flag
    is_corrected: Flag
    first_try: Flag
    """Of a first piece on its bench: whether an offset is moved for it, and whether it is good so far at first try."""
    is_apart: Flag
    is_lost: Flag
    is_delivered: Flag
    """Whether something was taken off it, whether its fellow has become scrap, and whether it stands finished until it
    is joined."""


class Place:
    """One place of a feature of a part; just one line of memory, as nothing is at hand more often."""

    error_um: float
    roughness_um: float
    """Until it is worked out, the share of all surfaces of this kind that are smoother."""
    scratch_um: float
    rough_growth: float
    """How far the wear of its edge had grown."""
    rough_factor: float
    """Of the mounted cutter that made it."""
    up_um: float
    down_um: float
    up_by: Few
    down_by: Few
    """Largest terms of its error, metal left on and cut away, and who is to blame, as `linesim.floor.blame.Terms`."""
    rough_cut: Few
    """The cut whose roughness has still to be worked out."""
    is_clean: Flag
    is_machined: Flag


class Shape:
    """How true one place lies; there are such records only where some feature of the works carries them."""

    position_um: float
    tilt_um: float
    form_um: float


class Visit:
    """What one operation did to a part."""

    done_min: float
    spent_min: float
    machine: Short
    fault: Short
    """The spell in which the machine was bad, counted from 1; 0 if it was good."""
    turn: Short
    counted: Flag
    """Parts that the machine had taken by then, where its operation has a measuring room; and whether this visit has
    been counted as passed there: 1, or 2 if it was good at the first try."""


class Note:
    """What a gauge has to say to the machines that made a feature."""

    rank: int
    gauge: int
    maker_mount: int
    maker_done_min: float
    corrected_mount: int
    corrected_done_min: float
    offset: int
    blamed_mount: int
    blamed_done_min: float
    fault_machine: int
    fault: int
    """If it is rejected: the edge to blame, or the machine and the spell in which it was bad."""
    mean_um: float
    worst_um: float
    roughness_um: float
    is_bad: int
    """Whether the part is turned down."""
    room_machine: int
    room_turn: int
    room_bad: int
    """If it is the answer of a measuring room: the machine, the turn of the part, and whether it was turned down."""


class PartWay:
    """A way to an operation, as `linesim.floor.transport.PartWay`."""

    last_min: float
    next_min: float
    lag_min: float
    free_min: float
    stands_since: float
    """Negative while it moves."""
    head: int
    entry: int
    """Clocks for the first part on it, and for the next that sets out."""
