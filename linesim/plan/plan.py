"""The plan: the tables of a works under one policy, with the names kept beside them.

Both engines read it and nothing else, so that a scenario has one reading.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from linesim.plan.magazine_tables import Magazines
from linesim.plan.place_tables import Fixtures, Holdings, Placings, Shapes
from linesim.plan.room_tables import Rooms
from linesim.plan.shape_tables import Batches, Moves
from linesim.plan.staffing import Attending, Staffing
from linesim.plan.tables import (
    Begins,
    Cuts,
    Disturbances,
    Features,
    FirstPieces,
    Gauges,
    Ints,
    Kinds,
    Lines,
    Machines,
    Mounts,
    Operations,
    Pools,
    Rules,
    Strokes,
    Tests,
    TestTerms,
    Times,
)
from linesim.plan.type_tables import Changeovers, Joins, Mixes, PartTypes, TypeTimes
from linesim.plan.unlike import Upkeeps

__all__ = ["Names", "OwnRule", "Plan"]


@dataclass(frozen=True)
class Names:
    """Names of everything that the arrays count."""

    lines: tuple[str, ...]
    operations: tuple[str, ...]
    machines: tuple[str, ...]
    strokes: tuple[str, ...]
    cuts: tuple[str, ...]
    kinds: tuple[str, ...]
    features: tuple[str, ...]
    gauges: tuple[str, ...]
    pools: tuple[str, ...]
    tests: tuple[str, ...]
    """Operations that test, and failures in the field."""
    part_types: tuple[str, ...]
    """Of a line whose parts are all alike, one without a name."""


@dataclass(frozen=True)
class OwnRule:
    """A rule of the user's own with the options that the scenario gives it."""

    name: str
    options: dict[str, Any]


@dataclass(frozen=True)
class Plan:
    """One works under one policy, ready to run."""

    works_name: str
    policy: str
    digest: str
    names: Names
    times: Times
    lines: Lines
    operations: Operations
    machines: Machines
    mounts: Mounts
    kind_of_slot: Ints
    strokes: Strokes
    cuts: Cuts
    kinds: Kinds
    features: Features
    disturbances: Disturbances
    gauges: Gauges
    first_pieces: FirstPieces
    rules: Rules
    pools: Pools
    own_rules: tuple[OwnRule, ...]
    grinders: int
    group_past: float
    """Share of the interval past which sets join a stop; infinite where sets are not grouped."""
    shift_min: float
    warm_up_min: float
    length_min: float
    shapes: Shapes
    tests: Tests
    test_terms: TestTerms
    placings: Placings
    holdings: Holdings
    fixtures: Fixtures
    batches: Batches
    moves: Moves
    part_types: PartTypes
    mixes: Mixes
    changeover_times: Changeovers
    type_times: TypeTimes
    joins: Joins
    rooms: Rooms
    staffing: Staffing
    attending: Attending
    shifts_per_day: int
    week_min: float
    """Worked minutes of a week."""
    calendar_min: float
    """Of these, how many have passed as the run begins."""
    presetters: int
    """Pool of the people who preset sets in the crib, or ``NONE``."""
    upkeeps: Upkeeps
    magazines: Magazines
    begins: Begins | None = None
    """What it begins from; None for new edges and an empty line."""
    is_eager: bool = False
    """Sets that are due are changed as a part has left, and not only as the next one comes."""
