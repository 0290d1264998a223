"""The spindle of a machine: it runs until a cut is done, with the breakdowns that fall in it."""

from __future__ import annotations

from collections.abc import Generator
from typing import Any

from simpy.events import Event

from linesim.chance import Purpose
from linesim.floor.ageing import Age
from linesim.floor.attending import attended
from linesim.floor.circles import MOST_BREAKDOWNS, endless_breakdowns
from linesim.floor.part import Part
from linesim.floor.station import Station
from linesim.plan.tally import State

__all__ = ["Spindle"]

Steps = Generator[Event, Any, Any]


class Spindle:
    """The spindle of one machine; its time to failure runs on cutting time only."""

    def __init__(self, machine: Station) -> None:
        self.machine = machine
        self.site = machine.site
        self.env = machine.env
        self.spec = machine.spec
        self.failures = 0
        self.age = Age(machine)

    def run(self, part: Part, cut_min: float) -> Steps:
        """Cut a part for so many minutes, with the breakdowns that fall in them."""
        self.charge(part, cut_min)
        yield from self.turn(cut_min)

    def charge(self, part: Part, cut_min: float) -> None:
        """Put so many minutes into a part."""
        machine = self.machine
        # Minutes of cutting again are a cost of recuts, not value that a part would lose as scrap.
        if part.tries:
            self.site.tally.recut_min[machine.index] += cut_min
        else:
            part.spent_min[part.position] += cut_min

    def turn(self, cut_min: float) -> Steps:
        """Turn for so many minutes, with the breakdowns that fall in them."""
        machine = self.machine
        breakdowns = 0
        while self.age.left_min < cut_min:
            yield self.env.timeout(self.age.left_min)
            cut_min -= self.age.left_min
            if not self.age.runs_out():
                continue
            breakdowns += 1
            if breakdowns > MOST_BREAKDOWNS:
                raise endless_breakdowns(self.env.now, self.site.plan.names.machines[machine.index])
            yield from self._break_down()
            machine.enter(State.CUTTING)
        self.age.left_min -= cut_min
        if cut_min > 0.0:
            yield self.env.timeout(cut_min)

    def finish_repair(self, minutes: float) -> Steps:
        """A repair takes so many minutes more, once a fitter is there; it may have been begun before the run."""
        yield from attended(self.machine, self.spec.fitters, State.WAITING_FOR_FITTER, State.UNDER_REPAIR, minutes)

    def _break_down(self) -> Steps:
        """A fitter is claimed and the repair is made; then the machine is good until its next failure."""
        machine = self.machine
        yield from self.finish_repair(
            self.site.timing.minutes(self.age.spec.repair_time, Purpose.REPAIR, machine.index, self.failures)
        )
        self.site.tally.breakdowns[machine.index] += 1
        self.failures += 1
        self.age.repaired()
