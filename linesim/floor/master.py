"""A gauge on its master: how far it has wandered off, and setting it back."""

from __future__ import annotations

from collections.abc import Generator
from typing import Any

from simpy.events import Event

from linesim.chance import Purpose
from linesim.chance.addresses import mastering_spot
from linesim.floor.station import Station
from linesim.quality.mastering import walked_um

__all__ = ["Master"]

Steps = Generator[Event, Any, Any]


class Master:
    """One gauge as it stands at one machine."""

    def __init__(self, machine: Station, gauge: int) -> None:
        self.machine = machine
        self.gauge = gauge
        self.row = machine.site.rows.gauges[gauge]
        self._spot = mastering_spot(len(machine.site.rows.gauges), machine.index, gauge)
        self._mastered_min = self._walked_min = self._walked_um = 0.0
        self._moves = 0
        self._read_since = 0
        self._times = 0

    def reads_off_um(self) -> float:
        """Bias and drift at a reading now, µm per side, plus reads more metal left on; what it wanders moves on."""
        now_min = self.machine.env.now
        off_um = float(self.row.bias_um + self.row.drift_um_h * ((now_min - self._mastered_min) / 60.0))
        if self.row.wanders_um > 0.0:
            self._walk(now_min)
            off_um += self._walked_um
        return off_um

    def _walk(self, now_min: float) -> None:
        """It wanders at random, as far as the time since the reading before lets it."""
        site = self.machine.site
        normal = site.timing.normals(Purpose.GAUGE_WALK, self._spot, self._times, self._moves)[0]
        hours = (now_min - self._walked_min) / 60.0
        self._walked_um = walked_um(self._walked_um, self.row.wanders_um, hours, normal)
        self._walked_min = now_min
        self._moves += 1

    def see_to(self, is_new: bool) -> Steps:
        """Before a new part is read, set the gauge back if it is time; a part that is read again does not count."""
        if is_new and 0 < self.row.master_every <= self._read_since:
            site = self.machine.site
            minutes = site.timing.minutes(self.row.master_time, Purpose.MASTERING, self._spot, self._times)
            site.tally.masterings[self.gauge] += 1
            if minutes > 0.0:
                yield self.machine.env.timeout(minutes)
            self._times += 1
            self._read_since = 0
            self._mastered_min = self._walked_min = self.machine.env.now
            self._walked_um, self._moves = 0.0, 0
        self._read_since += is_new
