"""What the parts of a machine may know of it."""

from __future__ import annotations

from typing import Any, Protocol

import simpy

from linesim.floor.foreman import Claim
from linesim.floor.mount import Mount
from linesim.floor.part import Part
from linesim.floor.site import Site
from linesim.plan.tally import State

__all__ = ["Source", "Station", "Target"]


class Source(Protocol):
    """Where a machine takes parts from."""

    def take(self, rank: tuple[int, ...]) -> Claim:
        """Ask for the oldest part."""


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

    def enter(self, state: State) -> None:
        """Begin to do something else."""
