"""Addresses of chance: which spot, index and draw of `numbers.uniforms` belongs to what happens on a line.

Every draw that differs by more than a running number has its address here, for the floor, the compiled engine and
those that listen. They are part of every draw: never change one, only add, or old runs cannot be repeated.
"""

from __future__ import annotations

from linesim.law import law

__all__ = [
    "LOOK_READING_DRAW",
    "MOST_PLACES",
    "breaking_index",
    "carrying_index",
    "carrying_spot",
    "cast_shape_draw",
    "change_spot",
    "cleaning_spot",
    "finding_spot",
    "first_reading_draw",
    "form_draw",
    "loading_spot",
    "mastering_spot",
    "move_number",
    "recut_index",
    "round_tries",
    "saving_index",
    "scratch_draw",
    "sensing_spot",
    "try_draw",
    "unloading_spot",
]

MOST_PLACES = 64
"""Most like places that a feature may have."""

LOOK_READING_DRAW = 1
"""Of a look the draw that belongs to what is read; draw 0 belongs to the minutes that it takes."""


@law
def cast_shape_draw(place: int) -> int:
    """Draw for position and tilt of one place as cast, behind the numbers of sizes; spot the feature."""
    return int(place) + 2**40


@law
def cleaning_spot(operation: int) -> int:
    """Spot for the minutes in which an operation's locating faces are cleaned; index the part's serial number."""
    return 4 * operation


@law
def loading_spot(operation: int) -> int:
    """Spot for the minutes of loading; index the part's serial number."""
    return 4 * operation + 1


@law
def unloading_spot(operation: int) -> int:
    """Spot for the minutes of unloading; index the part's serial number."""
    return 4 * operation + 2


@law
def sensing_spot(operation: int) -> int:
    """Spot for what a person at the machine hears and sees of a part; index its serial number."""
    return 4 * operation + 3


@law
def recut_index(serial: int, tries: int) -> int:
    """Index for the minutes of a part's given try at an operation given by its minutes."""
    return serial * 2**16 + tries


@law
def change_spot(machines: int, mount: int) -> int:
    """Spot for the minutes in which a mounted set is changed, behind those of getting at the machines' spindles."""
    return machines + mount


@law
def breaking_index(ordinal: int) -> int:
    """Index for the minutes that a change takes more as an edge broke; ``ordinal`` is the edge's at its mount."""
    return ordinal + 2**32


@law
def saving_index(ordinal: int) -> int:
    """Index for the minutes in which a part is freed of an edge that broke; ``ordinal`` is the edge's at its mount."""
    return ordinal + 2**33


@law
def mastering_spot(gauges: int, machine: int, gauge: int) -> int:
    """Spot for the minutes in which one gauge at one machine is mastered; index how often it has been.

    Also for how it wanders at random; draw: how often it has been read since.
    """
    return machine * gauges + gauge


@law
def finding_spot(operations: int, mount: int) -> int:
    """Spot for whether a probe finds a mount's broken edge, behind those of its minutes; draw: parts cut since then."""
    return operations + mount


@law
def try_draw(tries: int, place: int) -> int:
    """Draw for one place of a feature at a part's given try; for cuts and for gauges, index the serial number."""
    return tries * MOST_PLACES + place


@law
def round_tries(rounds: int) -> int:
    """Tries with which an operation begins on a part that has been repaired so often: behind those of rounds before."""
    return 1024 * rounds


@law
def form_draw(draw: int) -> int:
    """Draw for the gauge's error in form, beside that of its errors in size, roughness, position and tilt."""
    return int(draw) + 2**40


@law
def move_number(position: int, place: int) -> int:
    """Number in the stream for one place of a feature on the way past an operation, by its position in the routing."""
    return position * MOST_PLACES + place


@law
def scratch_draw(number: int) -> int:
    """Draw for how deep a place is scratched on the way, far behind the numbers that say whether it is."""
    return int(number) + 2**40


@law
def first_reading_draw(tries: int, place: int) -> int:
    """Draw for what is read of a first piece at one place, at its given try; spot the cut (draw 0 is the minutes)."""
    return 1 + tries * MOST_PLACES + place


@law
def carrying_spot(operation: int, is_back: int, rounds: int) -> int:
    """Spot for the minutes of the way to an operation, or of a carrier's way back; another after a repair."""
    return 4 * operation + 2 * is_back + (1 if rounds > 0 else 0)


@law
def carrying_index(serial: int, rounds: int) -> int:
    """Index for these minutes: the part's serial number, and after repairs how many there were."""
    return serial if rounds == 0 else recut_index(serial, rounds)
