"""What the parts of a machine may know of it."""

from __future__ import annotations

from typing import Any, Protocol

import simpy

from linesim.chance import Purpose
from linesim.chance.addresses import recut_index
from linesim.floor.foreman import Claim
from linesim.floor.mount import Mount
from linesim.floor.part import Part
from linesim.floor.site import Site
from linesim.plan.tally import State

__all__ = ["Source", "Station", "Target", "minutes_of_work"]


class Source(Protocol):
    """Where a machine takes parts from."""

    takers: list[Claim]

    def take(self, rank: tuple[int, ...], claim: Claim | None = None) -> Claim:
        """Ask for the oldest part, or for parts as a claim of another kind has it."""


class Target(Protocol):
    """Where a machine passes parts on to."""

    def put(self, part: Part, rank: tuple[int, ...]) -> Claim:
        """Ask for room for a part."""


class Station(Protocol):
    """A machine, as far as its spindle and the changing of its cutters need to know it."""

    site: Site
    env: simpy.Environment
    index: int
    operation: int
    rank: tuple[int, ...]
    spec: Any
    mounts: list[Mount]
    state: State

    def enter(self, state: State) -> None:
        """Begin to do something else."""


def minutes_of_work(station: Station, part: Part) -> float:
    """The minutes of an operation given by them; another draw for each time that the work is done again."""
    timing, time = station.site.timing, station.site.work_time(station.operation, part)
    if part.tries == 0:
        return timing.minutes(time, Purpose.CYCLE, station.operation, part.serial)
    return timing.minutes(time, Purpose.RECUT, station.operation, recut_index(part.serial, part.tries))
