"""The first piece after a change: gauged before the machine is trusted, and what is read sets the offsets."""

from __future__ import annotations

from collections.abc import Generator
from typing import Any, NamedTuple, Protocol

from simpy.events import Event

from linesim.chance import Purpose
from linesim.chance.addresses import first_reading_draw
from linesim.floor.gauging import put_right
from linesim.floor.holding import Held
from linesim.floor.job import Job
from linesim.floor.mixing import is_for
from linesim.floor.part import Part
from linesim.floor.people import People
from linesim.floor.station import Station, Target
from linesim.plan.tables import NONE, Reject
from linesim.plan.tally import Cause, State

__all__ = ["Bench", "FirstPieces", "Reading"]

Steps = Generator[Event, Any, Any]


class Reading(NamedTuple):
    """What a first piece tells.

    Attributes
    ----------
    off_um : dict of int to float
        By cut, what is put on its offset, µm; 0 where it is near enough, or less than half a step off.
    again : list of tuple of int
        Strokes and cuts that left metal on.
    lost : tuple of Cause and int, or None
        Why the piece is lost, and the feature.
    """

    off_um: dict[int, float]
    again: list[tuple[int, int]]
    lost: tuple[Cause, int] | None


class Bench(Station, Protocol):
    """A machine, as far as its first pieces need to know it."""

    is_first_try: bool

    def spend(self, part: Part, time: int, purpose: Purpose, spot: int, index: int, job: Job | None = None) -> Steps:
        """Let a length of time pass that is put into the part, by itself or by somebody."""

    def stroke(self, stroke: int, part: Part, held: Held, only_cut: int) -> Steps:
        """One stroke, or one of its cuts again."""

    def count_recut(self, part: Part, cause: Cause) -> None:
        """The part is cut again."""

    def scrap(self, part: Part, cause: Cause) -> bool:
        """The part leaves the line as scrap."""


class FirstPieces:
    """Gauges the first pieces of one machine.

    Attributes
    ----------
    recut : tuple of two int
        Stroke and cut that is made again because of a reading, for those who listen.
    """

    def __init__(self, machine: Bench) -> None:
        self.machine = machine
        self.site = machine.site
        rows, spec = machine.site.rows, machine.spec
        self.row = rows.first_pieces[machine.operation]
        self.people: People | None = None if self.row.by == NONE else machine.site.pools[self.row.by]
        self.recut = (NONE, NONE)
        self.bench: Target | None = None
        """Where parts wait to be gauged while the machine runs on."""
        self.readings: dict[int, tuple[Reading, bool]] = {}
        """By part on the bench: what will be read of it, and whether it is good at the first try so far."""
        self.read_cuts: list[tuple[int, int]] = []
        """Stroke and cut of each cut that can be read."""
        for stroke in range(spec.first_stroke, spec.end_stroke):
            cuts = range(rows.strokes[stroke].first_cut, rows.strokes[stroke].end_cut)
            self.read_cuts += [(stroke, cut) for cut in cuts if rows.cuts[cut].is_read_first]

    def changed_over(self, to: int) -> None:
        """The machine has been changed over to another part type: its first part is gauged, where that is asked for."""
        if self.row.after_changeover:
            for mount in self.machine.mounts:
                if is_for(mount.types, to):
                    mount.first_left = mount.first_tries

    def is_one(self, part: Part) -> bool:
        """Whether the part that was just cut is a first piece for which the machine stands."""
        return not self.row.runs_on and self._is_first(part)

    def _is_first(self, part: Part) -> bool:
        """Whether it is a first piece; one that comes back from repair tells nothing."""
        if self.row.tries == 0 or part.rounds > 0:
            return False
        for mount in self.machine.mounts:
            mount.note_rezero()
        return any(mount.wants_first for mount in self.machine.mounts)

    def see_to(self, part: Part, held: Held) -> Steps:
        """Have the part gauged while the machine stands. Returns whether it goes on."""
        machine, row = self.machine, self.row
        job = Job(machine.env, self.people, machine.rank, machine)
        machine.enter(State.FIRST_PIECE)
        yield from job.come()
        yield from machine.spend(part, row.time, Purpose.FIRST_PIECE, machine.operation, part.serial, job)
        job.end()
        self.site.tally.first_gauged[machine.index] += 1
        reading = self._read(part)
        self._set(reading)
        if reading.lost is not None and row.bad != Reject.PASS:
            machine.is_first_try = False
            return self._turned_down(part, *reading.lost)
        for stroke, cut in reading.again:
            machine.enter(State.FIRST_PIECE)
            self.recut = (stroke, cut)
            machine.count_recut(part, Cause.METAL_LEFT)
            if not (yield from machine.stroke(stroke, part, held, cut)):
                return False
        return True

    # while the machine runs on

    def put_aside(self, part: Part) -> Steps:
        """Put the part on the bench if it is a first piece that is gauged while the machine runs on; whether it was."""
        if not self.row.runs_on or not self._is_first(part):
            return False
        reading, cuts = self._read(part), self.site.rows.cuts
        for slot, mount in enumerate(self.machine.mounts):
            if mount.wants_first:
                mount.awaited = part.serial
                mount.answer = {cut: by for cut, by in reading.off_um.items() if cuts[cut].slot == slot}
        self.readings[part.serial] = reading, self.machine.is_first_try
        assert self.bench is not None
        yield self.bench.put(part, self.machine.rank)
        return True

    def answer(self, part: Part) -> tuple[bool, bool]:
        """What was read of a part on the bench is known: whether it goes on, and whether at the first try."""
        reading, is_first_try = self.readings.pop(part.serial)
        tally, index = self.site.tally, self.machine.index
        tally.first_gauged[index] += 1
        tally.first_corrected[index] += any(reading.off_um.values())
        for mount in self.machine.mounts:
            if mount.awaited == part.serial:
                mount.answered_min = self.site.env.now
        if self.row.bad == Reject.PASS or not (reading.lost or reading.again):
            return True, is_first_try
        cause, feature = reading.lost or (Cause.METAL_LEFT, self.site.rows.cuts[reading.again[0][1]].feature)
        return self._turned_down(part, cause, feature), False

    def dial_in(self) -> None:
        """Before the next part is cut, set what is known by now of those that were put aside."""
        for mount in self.machine.mounts:
            mount.dial_in(self.site.env.now)

    # the reading

    def _read(self, part: Part) -> Reading:
        """Read every cut of a fresh edge."""
        cuts, features = self.site.rows.cuts, self.site.rows.features
        again: list[tuple[int, int]] = []
        lost: tuple[Cause, int] | None = None
        by_cut: dict[int, float] = {}
        for stroke, cut in self.read_cuts:
            mount, feature = self.machine.mounts[cuts[cut].slot], features[cuts[cut].feature]
            if not mount.wants_first:
                continue
            sizes = self._sizes(part, cut, feature)
            off_um = _mean(sizes) + mount.aim_now_um(cuts[cut])
            by_cut[cut] = mount.settable_um(off_um) if abs(off_um) > self.row.accept_um else 0.0
            places = range(feature.first_place, feature.first_place + feature.places)
            if not all(part.is_clean[place] for place in places):
                lost = lost or (Cause.NOT_CLEANED_UP, cuts[cut].feature)
            elif min(sizes) < feature.low_um:
                lost = lost or (Cause.CUT_AWAY, cuts[cut].feature)
            elif max(sizes) > feature.high_um:
                again.append((stroke, cut))
        return Reading(by_cut, again, lost)

    def _sizes(self, part: Part, cut: int, feature: Any) -> list[float]:
        """What is read at the places of a feature."""
        sizes = []
        for place in range(feature.places):
            at = first_reading_draw(part.tries, place)
            normal = self.site.timing.normals(Purpose.FIRST_PIECE, cut, part.serial, at)
            sizes.append(part.error_um[feature.first_place + place] + self.row.error_um * normal[0])
        return sizes

    def _set(self, reading: Reading) -> None:
        """Set the offsets; a set whose offset was moved wants another piece, while there are tries left."""
        cuts, corrected = self.site.rows.cuts, set()
        for cut, off_um in reading.off_um.items():
            mount = self.machine.mounts[cuts[cut].slot]
            if off_um != 0.0:
                mount.offsets[cut] += off_um
                corrected.add(mount.index)
        self.site.tally.first_corrected[self.machine.index] += bool(corrected)
        for mount in self.machine.mounts:
            if mount.first_left > 0:
                mount.first_left = mount.first_left - 1 if mount.index in corrected else 0

    def _turned_down(self, part: Part, cause: Cause, feature: int) -> bool:
        tally, index = self.site.tally, self.machine.index
        if self.row.bad == Reject.SCRAP:
            tally.first_scrapped[index] += 1
            return self.machine.scrap(part, cause)
        tally.first_salvaged[index, cause] += 1
        part.is_first_pass = False
        put_right(self.site, feature, part)
        return True


def _mean(sizes: list[float]) -> float:
    # Added one by one: sum() carries the rounding along from Python 3.12 on, and the compiled engine does not.
    total_um = 0.0
    for size_um in sizes:
        total_um += size_um
    return total_um / len(sizes)
