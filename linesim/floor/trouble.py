"""Hidden faults: a machine turns bad unseen, and is set right once a gauge has found it."""

from __future__ import annotations

from collections.abc import Generator
from typing import Any

from simpy.events import Event

from linesim.chance import Purpose
from linesim.floor.attending import attended
from linesim.floor.holding import Held
from linesim.floor.part import Part
from linesim.floor.station import Station
from linesim.plan.tally import State

__all__ = ["Trouble"]

Steps = Generator[Event, Any, Any]


class Trouble:
    """How one machine is: good, bad, or known to be bad.

    Attributes
    ----------
    spell : int
        How often it has turned bad.
    """

    def __init__(self, machine: Station) -> None:
        self.machine = machine
        self.spell = 0
        self._is_bad = False
        self._is_found = False
        self._since_min = 0.0
        self._begun = 0

    def meet(self, part: Part) -> float:
        """A part is clamped: the machine may turn bad, and if it is, it shifts the cuts. Returns by how much, µm."""
        machine, spec, part.fault_um = self.machine, self.machine.spec, 0.0
        if spec.fault_chance > 0.0:
            timing, tally, ordinal = machine.site.timing, machine.site.tally, self._begun
            self._begun += 1
            if not self._is_bad and timing.uniforms(Purpose.FAULT, machine.index, ordinal)[0] < spec.fault_chance:
                self._is_bad, self._since_min = True, machine.env.now
                self.spell += 1
                tally.turned_bad[machine.index] += 1
            if self._is_bad:
                normal = timing.normals(Purpose.FAULT, machine.index, ordinal, 1)[0]
                part.fault_um = spec.fault_moved_um + spec.fault_scatter_um * normal
                tally.made_bad[machine.index] += 1
                part.faults[part.position] = self.spell
        return part.fault_um

    def turned(self, held: Held) -> Held:
        """How the part sits on a machine that holds it out of square if it is bad."""
        tilt_um = self.machine.spec.fault_tilt_um
        return held._replace(tilt_um=held.tilt_um + tilt_um) if self._is_bad and tilt_um != 0.0 else held

    def report(self, spell: int, gauge: int) -> None:
        """A gauge has turned a part down for the fault of this spell."""
        if self._is_bad and not self._is_found and self.spell == spell:
            self._is_found = True
            tally, index = self.machine.site.tally, self.machine.index
            tally.faults_found[index] += 1
            tally.found_by[gauge, self.machine.operation] += 1
            tally.unfound_min[index] += self.machine.env.now - self._since_min

    def set_right(self) -> Steps:
        """Set the machine right if it is known to be bad."""
        if not self._is_found:
            return
        machine, spec = self.machine, self.machine.spec
        minutes = machine.site.timing.minutes(spec.fault_time, Purpose.RIGHTING, machine.index, self.spell)
        yield from attended(machine, spec.setters, State.WAITING_FOR_SETTER, State.SETTING_RIGHT, minutes)
        self._is_bad = self._is_found = False
