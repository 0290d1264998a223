"""How one machine ages: when it breaks down next, and when its overhaul is due."""

from __future__ import annotations

import math
from collections.abc import Generator
from typing import Any

from simpy.events import Event

from linesim.chance import Purpose
from linesim.chance.ageing import to_due_min, to_next_failure_min
from linesim.floor.attending import attended
from linesim.floor.station import Station
from linesim.plan.tables import NONE
from linesim.plan.tally import State

__all__ = ["Age"]

Steps = Generator[Event, Any, Any]


class Age:
    """Cutting minutes of one machine from failure to failure, and from overhaul to overhaul.

    Attributes
    ----------
    left_min : float, min
        Cutting minutes until it breaks down or its overhaul falls due, whichever comes first; the spindle counts them.
    is_due : bool
        The overhaul begins before the next part is loaded.
    """

    def __init__(self, machine: Station) -> None:
        self.machine, self.spec = machine, machine.site.rows.upkeeps[machine.index]
        self.is_due = False
        self._age_min = self._since_min = self._span_min = 0.0
        self._beyond_min = 0.0
        self._falls_due = False
        self._drawn = 0
        self.left_min = 0.0
        self._begin_span()

    def _begin_span(self) -> None:
        """Draw the minutes to the next failure; the overhaul may fall due on the way."""
        self._span_min = self._draw()
        self._drawn += 1
        due_min = to_due_min(self.spec.overhaul_every_min, self._since_min)
        self._falls_due = not self.is_due and not math.isinf(due_min) and due_min <= self._span_min
        self.left_min = due_min if self._falls_due else self._span_min
        self._beyond_min = self._span_min - self.left_min if self._falls_due else 0.0

    def _draw(self) -> float:
        timing, index = self.machine.site.timing, self.machine.index
        if self.spec.age_shape > 0.0:
            uniform = timing.uniforms(Purpose.FAILURE, index, self._drawn)[0]
            return to_next_failure_min(self._age_min, self.spec.age_shape, self.spec.age_scale_min, uniform)
        if self.spec.failure_time == NONE:
            return math.inf
        return timing.minutes(self.spec.failure_time, Purpose.FAILURE, index, self._drawn)

    def runs_out(self) -> bool:
        """The minutes left are over; whether that is a breakdown, or the overhaul has fallen due and all goes on."""
        if not self._falls_due:
            return True
        self._falls_due, self.is_due = False, True
        self.left_min = self._beyond_min
        return False

    def repaired(self) -> None:
        """A repair leaves the machine as old as it was, makes it new, or something between."""
        self._since_min += self._span_min
        self._age_min = self.spec.age_left * (self._age_min + self._span_min)
        self._begin_span()

    def overhaul(self) -> Steps:
        """Overhaul the machine if that is due; it is as new then."""
        if not self.is_due:
            return
        machine, spec = self.machine, self.spec
        minutes = machine.site.timing.minutes(spec.overhaul_time, Purpose.OVERHAUL, machine.index, self._drawn)
        yield from attended(machine, spec.overhaul_people, State.WAITING_FOR_FITTER, State.OVERHAUL, minutes)
        machine.site.tally.overhauls[machine.index] += 1
        self.is_due = False
        self._age_min = self._since_min = 0.0
        self._begin_span()
