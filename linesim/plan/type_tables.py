"""Tables of the plan on part types: how they come, where each goes, and what it takes to change over between them.

Types of a line are numbered from 0; which types something is for is a whole number with a bit for each, -1 for all.
"""

from __future__ import annotations

from enum import IntEnum
from typing import NamedTuple

from linesim.plan.column_types import Floats, Ints

__all__ = [
    "ALL_TYPES", "TURN_ALL", "TURN_WAITING", "Changeovers", "JoinBy", "Joins", "Mixes", "PartTypes", "Sequence",
    "TypeTimes",
]  # fmt: skip

ALL_TYPES = -1
"""For all types."""

TURN_ALL = -1
"""A turn lasts until no part of the type waits any more."""

TURN_WAITING = -2
"""A turn lasts for the parts that waited when it began."""


class Sequence(IntEnum):
    """Which of the waiting parts a machine takes next."""

    OLDEST = 0
    SAME_TYPE = 1
    LEAST_CHANGEOVER = 2
    IN_TURN = 3
    MATCHED = 4
    """Parts that have a fellow of every line that is joined to them."""


class PartTypes(NamedTuple):
    """Part types, line after line; a line whose parts are all alike has one."""

    line: Ints
    share_to: Floats
    """Share of the castings that are of this type or of one before it; infinite for the last one."""
    batch_to: Ints
    """Castings of the batches up to this one in a cycle; 0 where types come by share."""
    batch_of: Ints
    """Type of which this batch is; the type itself unless a policy says another order."""


class Mixes(NamedTuple):
    """What part types mean at an operation, one row for each."""

    types: Ints
    """Types that come here."""
    sequence: Ints
    """A member of `Sequence`."""
    turn: Ints
    """Parts of one turn at most, ``TURN_ALL`` or ``TURN_WAITING``."""
    first_changeover: Ints
    """Row of ``Changeovers`` from type 0 to type 0, or ``NONE``; those to the other types follow, then from type 1."""
    people: Ints
    """Pool that changes over."""
    first_time: Ints
    """Row of ``TypeTimes`` for type 0, or ``NONE`` where all types take the same minutes."""
    fork: Ints
    """The choice by chance on which it depends whether a part comes here, or ``NONE``."""
    share_from: Floats
    share_to: Floats
    """Parts come whose number of that choice, uniform from 0 to 1, lies between them."""
    first_join: Ints
    end_join: Ints
    """Range of its rows of ``Joins``."""
    takes_off: Ints
    """Line whose castings are taken off the parts here, or ``NONE``."""


class JoinBy(IntEnum):
    """Which parts of another line fit a part."""

    ANY = 0
    NUMBER = 1
    CLASS = 2


class Joins(NamedTuple):
    """Lines that are joined to others, by the operation where that is done."""

    operation: Ints
    line: Ints
    """The line whose parts are joined to those of the operation's line."""
    by: Ints
    """A member of `JoinBy`."""
    stock: Ints
    own_feature: Ints
    their_feature: Ints
    own_scale: Floats
    their_scale: Floats
    """What the error of a place is multiplied by to be read as the drawing reads it."""
    width_um: Floats
    """Width of a class."""


class Changeovers(NamedTuple):
    """Changeovers from each type to each."""

    time: Ints
    mean_min: Floats


class TypeTimes(NamedTuple):
    """Minutes of an operation by type."""

    time: Ints
