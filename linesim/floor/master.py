"""A gauge on its master: how far it has wandered off, and setting it back."""

from __future__ import annotations

from collections.abc import Generator
from typing import Any

from simpy.events import Event

from linesim.chance import Purpose
from linesim.chance.addresses import mastering_spot
from linesim.floor.station import Station

__all__ = ["Master"]

Steps = Generator[Event, Any, Any]


class Master:
    """One gauge as it stands at one machine."""

    def __init__(self, machine: Station, gauge: int) -> None:
        self.machine = machine
        self.gauge = gauge
        self.row = machine.site.rows.gauges[gauge]
        self._mastered_min = 0.0
        self._read_since = 0
        self._times = 0

    @property
    def wandered_um(self) -> float:
        """Bias and drift as they are now, µm per side, plus reads more metal left on."""
        hours = (self.machine.env.now - self._mastered_min) / 60.0
        return float(self.row.bias_um + self.row.drift_um_h * hours)

    def see_to(self, is_new: bool) -> Steps:
        """Before a new part is read, set the gauge back if it is time; a part that is read again does not count."""
        if is_new and 0 < self.row.master_every <= self._read_since:
            site, machine = self.machine.site, self.machine.index
            spot = mastering_spot(len(site.rows.gauges), machine, self.gauge)
            minutes = site.timing.minutes(self.row.master_time, Purpose.MASTERING, spot, self._times)
            site.tally.masterings[self.gauge] += 1
            if minutes > 0.0:
                yield self.machine.env.timeout(minutes)
            self._times += 1
            self._read_since = 0
            self._mastered_min = self.machine.env.now
        self._read_since += is_new
