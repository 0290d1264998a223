"""What all machines of a floor have in common: the clock, the plan, chance, the shared things and the tally."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any, NamedTuple, Protocol, runtime_checkable

import simpy

from linesim.floor.crib import Crib, CribWatcher
from linesim.floor.decider import Decider
from linesim.floor.foreman import Foreman
from linesim.floor.part import Part
from linesim.floor.part_type import TypeOf
from linesim.floor.people import pools_of
from linesim.floor.timing import Timing
from linesim.plan.place_tables import placing_of
from linesim.plan.plan import Plan
from linesim.plan.tables import NONE, conditions_of
from linesim.plan.tally import Cause, State, Tally, empty_tally

__all__ = ["BY_SISTER", "LateWatcher", "Meets", "Rows", "Site", "Watcher"]

BY_SISTER = "{}, by a sister"
"""Why a set has been changed, where the next sister took over."""


class Watcher(Protocol):
    """Listens to the floor without taking part in it; every moment is in minutes from the start of the run."""

    def machine_enters(self, now_min: float, machine: int, state: State) -> None:
        """A machine begins to do something else."""

    def part_moves(self, now_min: float, part: Part, operation: int, machine: int, what: str) -> None:
        """A part is loaded, complete, left, scrapped, turned down for repair or sorted at an operation."""

    def set_changed(self, now_min: float, machine: int, mount: int, why: str, life_share: float, parts: int) -> None:
        """A cutter set has been changed: why (and whether by a sister), at what life share, after how many parts."""


@runtime_checkable
class LateWatcher(Protocol):
    """Listens to sets always, to machines and parts from some moment on only; what they did before need not be told."""

    hears_from_min: float


class Meets(Protocol):
    """Where lines meet, as far as machines need to know it."""

    def choose(self, operation: int, parts: Sequence[Part]) -> int | None:
        """Which waiting part is taken with its fellows; None for none of them."""

    def take_off(self, operation: int, part: Part) -> None:
        """Take another line's casting off a part, where that is done."""

    def lose(self, part: Part) -> None:
        """A part has become scrap."""


class Rows(NamedTuple):
    """The plan's tables as rows of plain numbers, which Python reads faster than arrays."""

    operations: list[Any]
    machines: list[Any]
    mounts: list[Any]
    strokes: list[Any]
    cuts: list[Any]
    kinds: list[Any]
    features: list[Any]
    gauges: list[Any]
    first_pieces: list[Any]
    disturbances: list[Any]
    shapes: list[Any]
    tests: list[Any]
    test_terms: list[Any]
    holdings: list[Any]
    fixtures: list[Any]
    batches: list[Any]
    moves: list[Any]
    part_types: list[Any]
    mixes: list[Any]
    changeover_times: list[Any]
    type_times: list[Any]
    rooms: list[Any]
    attending: list[Any]
    upkeeps: list[Any]
    magazines: list[Any]
    rules: list[Any]
    joins: list[Any]


def _rows(table: Any) -> list[Any]:
    return [type(table)._make(row) for row in zip(*(column.tolist() for column in table), strict=True)]


class Site:
    """The works floor on which the machines stand.

    Parameters
    ----------
    plan : Plan
        What to run.
    seed, replication : int
        Key of all chance.
    watchers : list of Watcher
        Who listens.
    decider : Decider, optional
        A person who decides in place of the plan.
    """

    def __init__(
        self, plan: Plan, seed: int, replication: int, watchers: list[Watcher], decider: Decider | None = None
    ) -> None:
        self.plan = plan
        self.meeting: Meets
        """Where lines meet; the floor sets it up."""
        self.seed = seed
        self.replication = replication
        self.watchers = watchers
        self.decider = Decider() if decider is None else decider
        self.env = simpy.Environment()
        self.foreman = Foreman(self.env)
        self.type_of = TypeOf(plan, seed, replication)
        self.timing = Timing(plan.times, seed, replication)
        self.crib = Crib(self.env, self.foreman, plan, self.timing)
        self.crib.watchers = [watcher for watcher in watchers if isinstance(watcher, CribWatcher)]
        self.pools = pools_of(self.env, self.foreman, plan)
        self.crib.presetters = None if plan.presetters == NONE else self.pools[plan.presetters]
        self.tally: Tally = empty_tally(plan)
        self.rows = Rows(**{name: _rows(getattr(plan, name)) for name in Rows._fields})
        self.conditions = [conditions_of(plan.cuts, cut) for cut in range(len(plan.cuts.feature))]
        self.placings = [placing_of(plan.placings, cut) for cut in range(len(plan.cuts.feature))]

    def by_calendar(self, minute: float) -> float:
        """A moment of the run by the calendar: worked minutes from the start of the week in which the run begins."""
        return minute + self.plan.calendar_min

    def work_time(self, operation: int, part: Part) -> int:
        """The length of time of an operation that is given by its minutes, for a part of this type."""
        first = self.rows.mixes[operation].first_time
        if first == NONE:
            return int(self.rows.operations[operation].cycle_time)
        return int(self.rows.type_times[first + part.type].time)

    def count_type(self, sums: Any, part: Part, value: float) -> None:
        """Add to sums by part type, where a line makes several."""
        lines = self.plan.lines
        first = int(lines.first_type[part.line])
        if lines.end_type[part.line] - first > 1:
            sums[first + part.type] += value

    def scrap(self, part: Part, operation: int, machine: int, cause: Cause) -> None:
        """Count a part that goes to scrap at a machine, with the minutes that have gone into it."""
        tally = self.tally
        tally.scrapped[machine, cause] += 1
        tally.scrapped_castings[machine] += 1
        tally.scrapped_parts[part.line] += 1
        self.count_type(tally.scrapped_of_type[machine], part, 1)
        first = self.rows.operations[operation].line
        first_operation = int(self.plan.lines.first_operation[first])
        for position, minutes in enumerate(part.spent_min):
            tally.scrapped_min[machine, first_operation + position] += minutes
        for watcher in self.watchers:
            watcher.part_moves(self.env.now, part, operation, machine, "scrapped")
        self.meeting.lose(part)
