"""What the parts of a machine may know of it."""

from __future__ import annotations

from typing import Any, Protocol

import simpy

from linesim.floor.mount import Mount
from linesim.floor.site import Site
from linesim.plan.tally import State

__all__ = ["Station"]


class Station(Protocol):
    """A machine, as far as its spindle and the changing of its cutters need to know it."""

    site: Site
    env: simpy.Environment
    index: int
    rank: tuple[int, ...]
    spec: Any
    mounts: list[Mount]

    def enter(self, state: State) -> None:
        """Begin to do something else."""
