"""The benches of a measuring room, and those who look after parts in quarantine or swept back."""

from __future__ import annotations

from collections.abc import Generator, Iterable, Sequence
from typing import Any

from simpy.events import Event

from linesim.chance import Purpose
from linesim.floor.buffer import Buffer
from linesim.floor.gauging import put_right, read, tell_maker
from linesim.floor.job import Job
from linesim.floor.measuring_room import BEHIND, RoomSide
from linesim.floor.mixing import gauges_for
from linesim.floor.part import Part
from linesim.floor.people import People
from linesim.floor.site import Site
from linesim.plan.room_tables import Meanwhile
from linesim.plan.tables import NONE, UNLIMITED, Reject
from linesim.plan.tally import Cause

__all__ = ["set_up_rooms"]

Steps = Generator[Event, Any, Any]


class _Reader:
    """Whoever reads parts of one operation with the gauges of the room."""

    def __init__(self, site: Site, operation: int, rank: tuple[int, ...], machines: dict[int, Any]) -> None:
        self.site, self.operation, self.rank, self.machines = site, operation, rank, machines
        self.row = site.rows.rooms[operation]
        self.position = operation - int(site.plan.lines.first_operation[site.rows.operations[operation].line])
        self.people: People | None = None if self.row.by == NONE else site.pools[self.row.by]

    def home(self, part: Part) -> Any:
        """The machine that the part comes from."""
        return self.machines[part.machines[self.position]]

    def read_by(self, gauges: Sequence[int], part: Part, is_sorting: bool) -> Steps:
        """Read a part by one gauge after another; returns whether any turned it down, and why it is lost if it is.

        Nobody is told what is read in sorting. Nothing is done to a part of which only a mark is read.
        """
        job, work_min = Job(self.site.env, self.people, self.rank), 0.0
        yield from job.come()
        is_bad, lost = False, None
        for number in gauges:
            row = self.site.rows.gauges[number]
            spot = len(self.site.rows.gauges) * (1 + part.tries) + number
            minutes = self.site.timing.minutes(row.time, Purpose.GAUGE, spot, part.serial)
            work_min += minutes
            yield from job.work(minutes)
            reading = read(self.site, number, row, part, row.bias_um)
            if not is_sorting:
                tell_maker(self.site, self.machines, self.rank, number, row, part, reading)
            if reading.cause is not None:
                is_bad = True
                if is_sorting or not self.row.marks:
                    lost = self._turned_down(number, row, part, reading.cause)
            if lost is not None:
                break
        self.site.tally.room_work_min[self.home(part).index] += work_min
        job.end()
        return is_bad, lost

    def _turned_down(self, gauge: int, row: Any, part: Part, cause: Cause) -> Cause | None:
        if row.reject == Reject.SALVAGE:
            self.site.tally.salvaged[gauge, cause] += 1
            part.is_first_pass = part.in_room.first_try = False
            if part.in_room.counted.get(self.position):
                self._takes_back(part, 0)
                part.in_room.counted[self.position] = False
            put_right(self.site, row.feature, part)
        return cause if row.reject == Reject.SCRAP else None

    def _takes_back(self, part: Part, passed: int) -> None:
        """Of a part that has been counted as passed by its machine, take so much back."""
        home = self.home(part)
        self.site.tally.passed[home.index] -= passed
        self.site.tally.first_pass[home.index] -= part.in_room.counted[self.position]

    def pass_on(self, part: Part) -> Steps:
        """The part goes on behind its machine."""
        home = self.home(part)
        part.in_room.counted[self.position] = part.in_room.first_try
        home.count_passed(part, part.in_room.first_try)
        yield home.target.put(part, self.rank)
        home.tell(part, "left")


class _RoomBench(_Reader):
    """One bench of the room: takes parts in the order in which they were sent."""

    def run(self, tray: Buffer) -> Steps:
        """Wait for a part to be there, read it, tell the answer, and let the part go on, for ever."""
        timing, tally, env = self.site.timing, self.site.tally, self.site.env
        while True:
            part: Part = yield tray.take(self.rank)
            sent = part.in_room
            carry_min = timing.minutes(self.row.carry_time, Purpose.CARRYING, self.operation, part.serial)
            if (minutes := sent.since_min + carry_min - env.now) > 0.0:
                yield env.timeout(minutes)
            is_bad, lost = yield from self.read_by(sent.gauges, part, is_sorting=False)
            home, tally = self.home(part), self.site.tally
            tally.room_read[home.index] += 1
            tally.room_bad[home.index] += is_bad
            tally.room_min[home.index] += env.now - sent.since_min
            self._tell(home, sent.turns[self.position][1], is_bad)
            part.recalled &= ~(1 << self.row.number)
            if lost is not None:
                home.scrap(part, lost)
            elif not self.row.marks:
                yield from self.pass_on(part)

    def _tell(self, home: Any, turn: int, is_bad: bool) -> None:
        """Tell the machine the answer, once the instant has settled."""

        def note() -> None:
            home.measuring.hear(turn, is_bad)

        self.site.foreman.leave_note(self.rank, note)


class _Sorter(_Reader):
    """Looks after the quarantine of one machine, and sorts its parts after a bad answer."""

    def run(self, side: RoomSide, held: Buffer) -> Steps:
        """Take a part, wait until something is known of it, sort it if it is suspected, and pass it on, for ever."""
        spec = self.site.rows.operations[self.operation]
        is_quarantine = self.row.meanwhile == Meanwhile.QUARANTINE
        while True:
            part: Part = yield held.take(self.rank)
            while is_quarantine and part.in_room.turns[self.position][1] > side.known_to:
                side.waits = self.site.env.event()
                yield side.waits
            home = self.home(part)
            if is_quarantine:
                self.site.tally.held_min[home.index] += self.site.env.now - part.in_room.since_min
            if part.recalled >> self.row.number & 1:
                part.recalled &= ~(1 << self.row.number)
                gauges = [each for each in gauges_for(self.site, spec, part) if self.site.rows.gauges[each].in_room]
                is_bad, lost = yield from self.read_by(gauges, part, is_sorting=True)
                self.site.tally.sorted[home.index] += 1
                self.site.tally.sorted_bad[home.index] += is_bad
                home.tell(part, "sorted")
                if lost is not None:
                    if self.position in part.in_room.counted:
                        self._takes_back(part, 1)
                    home.scrap(part, lost)
                    continue
            if part.in_room.back is None:
                yield from self.pass_on(part)
            else:
                yield part.in_room.back.put(part, self.rank)


def set_up_rooms(site: Site, operations: Iterable[int], machines: dict[int, Any]) -> None:
    """The measuring rooms of operations, one after another."""
    for operation in operations:
        _set_up_room(site, operation, machines)


def _set_up_room(site: Site, operation: int, machines: dict[int, Any]) -> None:
    """The benches of an operation's measuring room, and behind them who looks after the parts of each machine."""
    row, spec = site.rows.rooms[operation], site.rows.operations[operation]
    if row.benches == 0:
        return
    tray = Buffer(site.env, site.foreman, UNLIMITED)
    for number in range(row.benches):
        bench = _RoomBench(site, operation, (spec.rank, BEHIND + number), machines)
        site.env.process(bench.run(tray))
    for number, index in enumerate(range(spec.first_machine, spec.end_machine)):
        side: RoomSide = machines[index].measuring
        side.tray = tray
        if side.looks_back:
            side.held = Buffer(site.env, site.foreman, UNLIMITED)
            sorter = _Sorter(site, operation, (spec.rank, BEHIND + row.benches + number), machines)
            site.env.process(sorter.run(side, side.held))
