"""Edges that break unseen, and how that comes to be known: by a probe, by people, or by a gauge."""

from __future__ import annotations

from collections.abc import Generator, Mapping
from typing import Any, Protocol

from simpy.events import Event

from linesim.chance import Purpose
from linesim.chance.addresses import finding_spot
from linesim.floor.mount import Mount
from linesim.floor.part import Part
from linesim.floor.site import Site
from linesim.floor.station import Station
from linesim.plan.tally import Cause, State

__all__ = ["BreakProbe", "Probed", "break_unseen"]

Steps = Generator[Event, Any, Any]


class Probed(Station, Protocol):
    """A machine, as far as the probe needs to know it."""

    def spend(self, part: Part, time: int, purpose: Purpose, spot: int, index: int) -> Steps:
        """Let a length of time pass that is put into the part."""

    def scrap(self, part: Part, cause: Cause) -> bool:
        """The part leaves the line as scrap; always False."""


def break_unseen(site: Site, mounts: list[Mount], minutes: Mapping[int, float], part: Part, cut_min: float) -> None:
    """Let those edges break that do so unseen in a stroke that runs for so many minutes.

    Parameters
    ----------
    minutes : dict of float
        The cuts of the stroke and how long each takes.
    """
    for cut, own_min in minutes.items():
        row = site.rows.cuts[cut]
        mount = mounts[row.slot]
        if mount.kind.seen_after == 0 or mount.is_broken:
            continue
        if mount.minutes_to_break(row.life_min * part.heat_life) < min(own_min, cut_min):
            mount.break_unseen()
            site.tally.broke_unseen[mount.index] += 1


class BreakProbe:
    """What is seen of broken edges at one machine after each part."""

    def __init__(self, machine: Probed) -> None:
        self.machine = machine
        self.site = machine.site
        self.parts = 0
        """Since it looked last."""

    def see(self, part: Part) -> Steps:
        """After the cuts: count the part, look if it is time; returns whether the part goes on."""
        machine, tally = self.machine, self.site.tally
        unseen = [mount for mount in machine.mounts if mount.kind.seen_after > 0]
        if not unseen:
            return True
        for mount in unseen:
            if mount.is_broken and mount.types >> part.type & 1:
                mount.broken_parts += 1
                tally.cut_unseen[mount.index] += 1
        spec = machine.spec
        self.parts += 1
        looks = 0 < spec.probe_every <= self.parts
        if looks:
            self.parts = 0
            tally.break_probes[machine.index] += 1
            machine.enter(State.CHECKING)
            yield from machine.spend(part, spec.probe_time, Purpose.BREAK_PROBE, machine.operation, part.serial)
        broken = [mount for mount in unseen if mount.is_broken]
        for mount in broken:
            mount.is_seen = mount.is_seen or self._is_told(mount, looks)
        if any(mount.is_seen and mount.types >> part.type & 1 for mount in broken):
            return machine.scrap(part, Cause.BROKEN_CUTTER)
        return True

    def _is_told(self, mount: Mount, looks: bool) -> bool:
        """Whether the probe finds that it has broken, or somebody sees it."""
        if looks:
            spot = finding_spot(len(self.site.rows.operations), mount.index)
            luck = self.site.timing.uniforms(Purpose.BREAK_PROBE, spot, mount.ordinal, mount.broken_parts)[0]
            if luck < self.machine.spec.probe_finds:
                self.site.tally.probe_found[mount.index] += 1
                return True
        return bool(mount.broken_parts >= mount.kind.seen_after)
