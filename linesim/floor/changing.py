"""Seeing to the cutters of a machine: looking at edges, and changing what is due."""

from __future__ import annotations

from collections.abc import Generator, Sequence
from typing import Any

from simpy.events import Event

from linesim.chance import Purpose
from linesim.chance.addresses import LOOK_READING_PART, breaking_index, change_spot, saving_index
from linesim.floor.attending import attended
from linesim.floor.crib import CutterSet
from linesim.floor.mount import Mount
from linesim.floor.station import Station
from linesim.floor.visit import visit_of
from linesim.plan.tables import NONE
from linesim.plan.tally import State

__all__ = ["Changing"]

Steps = Generator[Event, Any, Any]


class Changing:
    """The tool-change part of a machine's round."""

    def __init__(self, machine: Station) -> None:
        self.machine = machine
        self.site = machine.site
        self.crib = machine.site.crib
        self.stops = 0
        self.looks = 0

    def see_to_cutters(self) -> Steps:
        """Ask the rule of each mounted set; look at edges where it wants that; change what is due in one stop."""
        now = self.machine.env.now
        mounts = self.machine.mounts
        for mount in mounts:
            if mount.rule.wants_look(mount.edge):
                yield from self.look(mount)
                now = self.machine.env.now
        due = [mount for mount in mounts if mount.rule.is_due(mount.edge, now)]
        if due:
            yield from self._stop(due, None)

    def replace_broken(self, broken: Mount) -> Steps:
        """An unplanned change after a breakage."""
        yield from self._stop([broken], broken)

    def look(self, mount: Mount) -> Steps:
        """Look at an edge: it takes minutes, and the wear land is read with an error (mm).

        Both are those of the set's rule in the plan, unless the mount says otherwise.
        """
        rules, row = self.site.plan.rules, self.site.rows.mounts[mount.index].rule
        time = int(rules.look_time[row])
        by_rule = (
            self.site.timing.minutes(time, Purpose.CHECK, mount.index, self.looks),
            float(rules.look_error_mm[row]),
        )
        minutes, error_mm = by_rule if mount.look_as is None else mount.look_as
        visit = visit_of(self.machine, "look", minutes > 0.0)
        yield from visit.come()
        self.machine.enter(State.CHECKING)
        yield from visit.work(minutes)
        visit.leave()
        normal = self.site.timing.normals(Purpose.CHECK, mount.index, self.looks, LOOK_READING_PART)
        self.looks += 1
        self.site.tally.looks[mount.index] += 1
        mount.edge.wear_read_mm = mount.wear_land_mm + error_mm * normal[0]
        mount.edge.parts_since_look = 0

    def _stop(self, due: Sequence[Mount], broken: Mount | None) -> Steps:
        """One stop for cutters: dull sets off, sharp sets drawn, the setter called, all of them changed."""
        now = self.machine.env.now
        joining = [mount for mount in self.machine.mounts if mount not in due and self._joins(mount, now)]
        mounts = [mount for mount in self.machine.mounts if mount in due or mount in joining]
        in_place = [mount for mount in mounts if mount is not broken and self._can_renew_in_place(mount)]
        self._count(mounts, broken, joining, in_place)
        sharp = yield from self._draw_sharp(mounts, broken, in_place)
        by_hand = [mount for mount in mounts if mount not in in_place or not mount.kind.by_machine]
        setters = self.machine.spec.setters if by_hand else NONE
        minutes = self._change_minutes(mounts, broken, in_place, bool(by_hand))
        yield from attended(self.machine, setters, State.WAITING_FOR_SETTER, State.CHANGING, minutes)
        for mount in mounts:
            mount.put_in(sharp[mount.index], self.machine.env.now)
        self.stops += 1

    def _can_renew_in_place(self, mount: Mount) -> bool:
        return self.crib.can_renew_in_place(_mounted(mount), mount.wheel_worn_mm)

    def _joins(self, mount: Mount, now_min: float) -> bool:
        return mount.rule.share(mount.edge, now_min) >= self.site.plan.group_past

    def _draw_sharp(self, mounts: Sequence[Mount], broken: Mount | None, in_place: Sequence[Mount]) -> Steps:
        """Hand in the dull sets, then wait for a sharp one of each kind. Returns the set for each mount."""
        claims = {}
        sharp: dict[int, CutterSet] = {}
        for slot, mount in enumerate(mounts):
            dull = _mounted(mount)
            if mount in in_place:
                self.crib.renew_in_place(dull, mount.wheel_worn_mm)
                sharp[mount.index] = dull
            else:
                is_lost = mount is broken or mount.is_given_up
                self.crib.hand_in(dull, mount.wear_land_mm, is_lost, (*self.machine.rank, slot))
                claims[mount.index] = self.crib.shelves[dull.kind].claim(self.machine.rank, mount.index)
        if claims:
            self.machine.enter(State.WAITING_FOR_SET)
        for index, claim in claims.items():
            sharp[index] = yield claim
        return sharp

    def _change_minutes(
        self, mounts: Sequence[Mount], broken: Mount | None, in_place: Sequence[Mount], by_hand: bool
    ) -> float:
        """Getting at the spindle, once, and each set's own minutes; more for a set that broke."""
        minutes = self.site.timing.minutes
        machines = len(self.site.rows.machines)
        total = 0.0
        if by_hand:
            total = minutes(self.machine.spec.access_time, Purpose.CHANGE, self.machine.index, self.stops)
        for mount in mounts:
            time = mount.kind.change_time if mount in in_place else mount.kind.replace_time
            spot = change_spot(machines, mount.index)
            total += minutes(int(time), Purpose.CHANGE, spot, mount.ordinal)
            if mount is broken:
                broken_time = int(mount.kind.broken_time)
                total += minutes(broken_time, Purpose.CHANGE, spot, breaking_index(mount.ordinal))
                total += minutes(int(mount.kind.saving_time), Purpose.CHANGE, spot, saving_index(mount.ordinal))
        return total

    def _count(
        self, mounts: Sequence[Mount], broken: Mount | None, joining: Sequence[Mount], in_place: Sequence[Mount]
    ) -> None:
        tally = self.site.tally
        tally.stops[self.machine.index] += 1
        for mount in mounts:
            index = mount.index
            why = "broken" if mount is broken else "joined" if mount in joining else "due"
            tally.unplanned[index] += mount is broken
            tally.joined[index] += mount in joining
            tally.planned[index] += why == "due"
            tally.in_place[index] += mount in in_place
            tally.edge_parts[index] += mount.edge.parts
            tally.edge_life[index] += mount.life_share
            tally.edge_min[index] += mount.edge.cut_min
            for watcher in self.site.watchers:
                watcher.set_changed(
                    self.machine.env.now, self.machine.index, index, why, mount.life_share, mount.edge.parts
                )


def _mounted(mount: Mount) -> CutterSet:
    assert mount.cutter_set is not None, "a machine never runs without a mounted set"
    return mount.cutter_set
