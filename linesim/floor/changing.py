"""Seeing to the cutters of a machine: looking at edges, and changing what is due."""

from __future__ import annotations

from collections.abc import Generator, Iterator, Sequence
from dataclasses import dataclass
from typing import Any

from simpy.events import Event

from linesim.chance import Purpose
from linesim.chance.addresses import LOOK_READING_DRAW, breaking_index, change_spot, saving_index
from linesim.floor.attending import attended
from linesim.floor.crib import CutterSet
from linesim.floor.magazine import Magazine
from linesim.floor.mount import Mount, UsedSet
from linesim.floor.site import BY_SISTER
from linesim.floor.station import Station
from linesim.floor.visit import visit_of
from linesim.plan.tables import NONE
from linesim.plan.tally import State

__all__ = ["Changing"]

Steps = Generator[Event, Any, Any]


@dataclass
class _Off:
    """A set that comes off in a stop, from the spindle or from the magazine, and what takes its place."""

    mount: Mount
    used: UsedSet
    is_at_work: bool
    is_in_place: bool
    wheel_worn_mm: float
    sharp: CutterSet | None = None


class Changing:
    """The tool-change part of a machine's round."""

    def __init__(self, machine: Station) -> None:
        self.machine = machine
        self.site = machine.site
        self.crib = machine.site.crib
        self.magazine = Magazine(machine)
        self.stops = 0
        self.looks = 0
        self.is_by_sister = False
        """Whether sisters take over in the change of which watchers are told."""

    def see_to_cutters(self) -> Steps:
        """Ask the rule of each mounted set; look at edges where it wants that; change what is due in one stop."""
        now = self._now_min()
        mounts = self.machine.mounts
        for mount in mounts:
            if mount.rule.wants_look(mount.edge):
                yield from self.look(mount)
                now = self._now_min()
        due = [mount for mount in mounts if mount.is_seen or mount.rule.is_due(mount.edge, now)]
        if self.magazine.is_here and not self.magazine.wants_setter(due, now):
            yield from self._take_over(due, None)
        elif due or self.magazine.is_here:
            yield from self._stop(due, None)

    def replace_broken(self, broken: Mount) -> Steps:
        """An unplanned change after a breakage."""
        change = self._take_over if self.magazine.relieves(broken) else self._stop
        yield from change([broken], broken)

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
        normal = self.site.timing.normals(Purpose.CHECK, mount.index, self.looks, LOOK_READING_DRAW)
        self.looks += 1
        self.site.tally.looks[mount.index] += 1
        mount.edge.wear_read_mm = mount.wear_land_mm + error_mm * normal[0]
        mount.edge.parts_since_look = 0
        mount.is_seen = mount.is_broken

    def _take_over(self, due: Sequence[Mount], broken: Mount | None) -> Steps:
        """The next sisters take over within the cycle, without the setter."""
        if not due:
            return
        self.is_by_sister = True
        self._count(due, broken, [])
        self.is_by_sister = False
        self.machine.enter(State.CHANGING)
        yield from self._spend(self.magazine.exchange_min(due))
        for mount in due:
            mount.take_over(mount is broken, self._now_min())
            self.site.tally.taken_over[mount.index] += 1

    def _stop(self, due: Sequence[Mount], broken: Mount | None) -> Steps:
        """One stop for cutters: dull sets off, sharp sets drawn, the setter called, all of them changed."""
        now = self._now_min()
        joining = [mount for mount in self.machine.mounts if mount not in due and self._joins(mount, now)]
        mounts = [mount for mount in self.machine.mounts if mount in due or mount in joining]
        self.site.tally.stops[self.machine.index] += 1
        self._count(mounts, broken, joining)
        off = [each for mount in self.machine.mounts for each in self._coming_off(mount, mount in mounts, broken)]
        yield from self._draw_sharp(off)
        by_hand = any(not each.is_in_place or not each.mount.kind.by_machine for each in off)
        setters = self.machine.spec.setters if by_hand else NONE
        minutes = self._change_minutes(off, by_hand)
        yield from attended(self.machine, setters, State.WAITING_FOR_SETTER, State.CHANGING, minutes)
        self._put_in(off)
        self.stops += 1

    def _coming_off(self, mount: Mount, is_changed: bool, broken: Mount | None) -> Iterator[_Off]:
        """The set at work, if it is changed, and its sisters that are used up."""
        used = [mount.take_off(mount is broken)] if is_changed else []
        for at, each in enumerate([*used, *mount.used]):
            is_at_work = at < len(used)
            worn_mm = mount.wheel_worn_mm if is_at_work else 0.0
            in_place = not each.is_broken and self.crib.can_renew_in_place(each.cutter_set, worn_mm)
            yield _Off(mount, each, is_at_work, in_place, worn_mm)

    def _joins(self, mount: Mount, now_min: float) -> bool:
        return mount.rule.share(mount.edge, now_min) >= self.site.plan.group_past

    def _draw_sharp(self, off: Sequence[_Off]) -> Steps:
        """Hand in the dull sets, then wait for a sharp one of each kind."""
        claims = []
        for slot, each in enumerate(off):
            dull = each.used.cutter_set
            if each.is_in_place:
                self.crib.renew_in_place(dull, each.wheel_worn_mm)
                each.sharp = dull
            else:
                self.crib.hand_in(dull, each.used.wear_land_mm, each.used.is_lost, (*self.machine.rank, slot))
                claims.append((each, self.crib.shelves[dull.kind].claim(self.machine.rank, each.mount.index)))
        if claims:
            self.machine.enter(State.WAITING_FOR_SET)
        for each, claim in claims:
            each.sharp = yield claim

    def _change_minutes(self, off: Sequence[_Off], by_hand: bool) -> float:
        """Getting at the spindle, once, and each set's own minutes; more for a set that broke."""
        minutes = self.site.timing.minutes
        machines = len(self.site.rows.machines)
        total = 0.0
        if by_hand:
            total = minutes(self.machine.spec.access_time, Purpose.CHANGE, self.machine.index, self.stops)
        for each in off:
            kind, ordinal = each.mount.kind, each.used.ordinal
            time = kind.change_time if each.is_in_place else kind.replace_time
            spot = change_spot(machines, each.mount.index)
            total += minutes(int(time), Purpose.CHANGE, spot, ordinal)
            if each.used.is_broken:
                total += minutes(int(kind.broken_time), Purpose.CHANGE, spot, breaking_index(ordinal))
                total += minutes(int(kind.saving_time), Purpose.CHANGE, spot, saving_index(ordinal))
        return total

    def _put_in(self, off: Sequence[_Off]) -> None:
        """Sharp edges begin their lives; renewed sisters are the first to take over."""
        for mount in self.machine.mounts:
            renewed = [each.sharp for each in off if each.mount is mount and not each.is_at_work and each.sharp]
            mount.sharp, mount.used = renewed + mount.sharp, []
        for each in off:
            if each.is_at_work and each.sharp is not None:
                each.mount.put_in(each.sharp, self._now_min())
        self.magazine.renewed_min = self._now_min()

    def _now_min(self) -> float:
        """Now by the calendar, as rules and magazines count."""
        return self.site.by_calendar(self.machine.env.now)

    def _spend(self, minutes: float) -> Steps:
        if minutes > 0.0:
            yield self.machine.env.timeout(minutes)

    def _count(self, mounts: Sequence[Mount], broken: Mount | None, joining: Sequence[Mount]) -> None:
        tally = self.site.tally
        for mount in mounts:
            index, used = mount.index, mount.take_off(mount is broken)
            why = "broken" if used.is_broken else "joined" if mount in joining else "due"
            tally.unplanned[index] += why == "broken"
            tally.joined[index] += why == "joined"
            tally.planned[index] += why == "due"
            tally.in_place[index] += not used.is_broken and self.crib.can_renew_in_place(
                used.cutter_set, mount.wheel_worn_mm
            )
            tally.edge_parts[index] += mount.edge.parts
            tally.edge_life[index] += mount.life_share
            tally.edge_min[index] += mount.edge.cut_min
            words = BY_SISTER.format(why) if self.is_by_sister else why
            for watcher in self.site.watchers:
                watcher.set_changed(
                    self.machine.env.now, self.machine.index, index, words, mount.life_share, mount.edge.parts
                )
