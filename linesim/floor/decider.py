"""Where a person may step in on the floor: asked before each part and at each reading; the plan decides by itself."""

from __future__ import annotations

from collections.abc import Generator
from typing import Any

from simpy.events import Event

from linesim.floor.part import Part
from linesim.floor.reading import Reading
from linesim.plan.tally import Cause

__all__ = ["Decider"]


class Decider:
    """Leaves everything to the plan. A subclass may let time pass, look at edges or give orders where it is asked."""

    def before_part(self, machine: Any, part: Part) -> Generator[Event, Any, None]:
        """A machine has taken a part, and has not yet seen to its cutters."""
        yield from ()

    def judge(self, machine: Any, gauge: int, part: Part, reading: Reading) -> Generator[Event, Any, Cause | None]:
        """A gauge has read a part; returns why it is turned down, or None if it passes."""
        yield from ()
        return reading.cause
