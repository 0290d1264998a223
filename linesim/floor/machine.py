"""A machine and its round: take a part, see to the cutters, load, cut, unload, gauge, pass the part on."""

from __future__ import annotations

from collections.abc import Generator
from typing import Any

from simpy.events import Event

from linesim.chance import Purpose
from linesim.chance.addresses import cleaning_spot, loading_spot, round_tries, unloading_spot
from linesim.floor.additions import cut_minutes
from linesim.floor.breaking import is_saved, leaves_a_mark
from linesim.floor.changing import Changing
from linesim.floor.first_piece import FirstPieces
from linesim.floor.gauging import put_right, read, tell_maker
from linesim.floor.holding import Held, Warmth, held_of
from linesim.floor.job import Job
from linesim.floor.load_monitor import read_load
from linesim.floor.master import Master
from linesim.floor.measuring_room import RoomSide
from linesim.floor.mishaps import befalls, disturb, scratch_on_the_way
from linesim.floor.mixing import Mix, cuts_for, gauges_for, stroke_minutes, strokes_for
from linesim.floor.mount import Mount
from linesim.floor.part import Part
from linesim.floor.site import Site
from linesim.floor.spindle import Spindle
from linesim.floor.station import Source, Target, minutes_of_work
from linesim.floor.stroke import apply_cuts, meet_sand, minutes_until_break
from linesim.floor.testing import passes_test
from linesim.floor.time_at_machine import TimeAtMachine
from linesim.floor.trouble import Trouble
from linesim.floor.unseen import BreakProbe, break_unseen
from linesim.floor.visit import visit_of
from linesim.floor.yard import Yard
from linesim.plan.tables import NONE, Reject
from linesim.plan.tally import Cause, State

__all__ = ["Machine"]

Steps = Generator[Event, Any, Any]


class Machine(TimeAtMachine):
    """One machine of an operation, with its own cutters mounted.

    Parameters
    ----------
    site : Site
        The floor it stands on.
    index : int
        Number of the machine in the plan.
    mounts : list of Mount
        Its mounted cutter sets, one of each kind that it uses.
    source, target : Source, Target
        Where parts come from and go to.
    yard : Yard
        To be told of parts that leave the line here as scrap.
    """

    def __init__(self, site: Site, index: int, mounts: list[Mount], source: Source, target: Target, yard: Yard) -> None:
        super().__init__(site, index)
        self.position = self.operation - int(site.plan.lines.first_operation[self.spec.line])
        self.pace: float = site.rows.machines[index].pace
        self.mounts, self.source, self.target, self.yard = mounts, source, target, yard
        self.changing, self.spindle, self.trouble = Changing(self), Spindle(self), Trouble(self)
        self.mix, self.warmth = Mix(self), Warmth(site.rows.holdings[self.operation], site.plan.calendar_min)
        self.first_pieces, self.measuring, self.breaks = FirstPieces(self), RoomSide(self), BreakProbe(self)
        self.gauged = [0] * (self.spec.end_gauge - self.spec.first_gauge)
        self.masters = [Master(self, number) for number in range(self.spec.first_gauge, self.spec.end_gauge)]
        self.gauge_once: set[int] = set()
        """Gauges that read the part at hand although it is not its turn."""
        self.is_first_try = True
        self.bench: Target | None = None
        """Where parts wait to be repaired that its test turns down."""
        self.peers: dict[int, Machine] = {}
        """All machines by their number, for a gauge's message to the machine that made the feature."""

    # --- the round -----------------------------------------------------------------------------------------------

    def run(self) -> Steps:
        """The machine's round, for ever."""
        while True:
            if self.site.plan.is_eager:
                yield from self.changing.see_to_cutters()
            self.enter(State.WAITING_FOR_PART)
            part: Part = yield from self.mix.next_part()
            if self.measuring.turns_back(part) or self.mix.turns_down(part):
                continue
            first = self.site.decider.before_part(self, part), self.mix.see_to(part), self.spindle.age.overhaul()
            if (yield from self.mix.is_lost_while(part, (*first, self.trouble.set_right()))):
                continue
            yield from self.changing.see_to_cutters()
            yield from (visit := visit_of(self, "load")).come()
            self.begin(part)
            if (yield from self._work(part, visit)) and (yield from passes_test(self, part)):
                yield from self.pass_on(part)

    def begin(self, part: Part) -> None:
        """The part comes onto the machine."""
        part.comes_to(self.position, self.index)
        part.tries = round_tries(part.rounds)
        self.is_first_try = True
        if part.rounds:
            self.count_recut(part, Cause.TEST)
        self.tell(part, "loaded")

    def _work(self, part: Part, visit: Job) -> Steps:
        """Everything that is done to the part here; returns whether it goes on down the line.

        Who attends the machine, if anybody, is there for loading.
        """
        spec, serial = self.spec, part.serial
        self.enter(State.LOADING)
        yield from self.spend(part, spec.chip_clean_time, Purpose.OTHER, cleaning_spot(self.operation), serial, visit)
        yield from self.spend(part, spec.load_time, Purpose.OTHER, loading_spot(self.operation), serial, visit)
        visit.leave()
        self.trouble.meet(part)
        held = self.trouble.turned(held_of(self.site, self.index, part))
        self.first_pieces.dial_in()
        return (yield from self._cut_all(part, held)) and (yield from self.finish(part, held))

    def finish(self, part: Part, held: Held) -> Steps:
        """What follows on the cuts: the part is unloaded and gauged; returns whether it goes on down the line."""
        spec = self.spec
        part.done_min.append(self.env.now)
        disturb(self.site, self.operation, self.position, part)
        self.site.tally.worked[self.index] += 1
        if not ((yield from self.breaks.see(part)) and (yield from self._gauge_all(part, held, in_spindle=True))):
            return False
        visit = visit_of(self, "unload")
        yield from visit.come()
        self.enter(State.LOADING)
        yield from self.spend(part, spec.unload_time, Purpose.OTHER, unloading_spot(self.operation), part.serial, visit)
        visit.leave()
        if self.first_pieces.is_one(part) and not (yield from self.first_pieces.see_to(part, held)):
            return False
        return (yield from self._gauge_all(part, held, in_spindle=False))

    def _gauge_all(self, part: Part, held: Held, *, in_spindle: bool) -> Steps:
        """The gauges from the spindle, or those beside the machine, one after another; whether the part goes on."""
        rows = self.site.rows.gauges
        for number in gauges_for(self.site, self.spec, part):
            if rows[number].in_spindle == in_spindle and not (yield from self._gauge(number, part, held)):
                return False
        return True

    def _cut_all(self, part: Part, held: Held) -> Steps:
        """The strokes in turn, or the operation's minutes; returns whether the part is still worth anything."""
        spec = self.spec
        for stroke in strokes_for(self.site, spec, part):
            meet_sand(self.site, self.mounts, part, stroke)
            if not (yield from self.stroke(stroke, part, held, NONE)):
                return False
        is_spoiled = spec.cycle_time == NONE and befalls(self.site, self.operation, part, 0, spec.scrap_chance)
        while spec.cycle_time != NONE:
            if not (yield from self._plain_minutes(part)):
                return False
            is_spoiled = befalls(self.site, self.operation, part, 0, spec.scrap_chance)
            if is_spoiled or not befalls(self.site, self.operation, part, 1, spec.recut_chance):
                break
            self.count_recut(part, Cause.OTHER)
        for mount in self.mounts:
            mount.count_part(part)
            read_load(self.site, mount, part)
        return self.scrap(part, Cause.OTHER) if is_spoiled else True

    def pass_on(self, part: Part) -> Steps:
        """Move the part on; until there is room for it the machine keeps it."""
        if (yield from self.first_pieces.put_aside(part)) or (yield from self.measuring.keeps(part)):
            return
        self.count_passed(part, self.is_first_try)
        if not self.measuring.stops_at_the_door(part):
            self.enter(State.HELD_UP)
            yield self.target.put(part, self.rank)
            self.tell(part, "left")

    def count_passed(self, part: Part, is_first_try: bool) -> None:
        """The part is done here and goes on its way, on which it can be scratched."""
        self.site.tally.passed[self.index] += 1
        self.site.tally.first_pass[self.index] += is_first_try
        scratch_on_the_way(self.site, self.operation, self.position, part)
        self.tell(part, "complete")
        self.site.meeting.take_off(self.operation, part)

    # --- cutting -------------------------------------------------------------------------------------------------

    def stroke(self, stroke: int, part: Part, held: Held, only_cut: int) -> Steps:
        """One stroke; ``only_cut`` is the cut that is made again in a recut. Returns whether the part survived."""
        while (breaking := (yield from self._run_stroke(stroke, part, held, only_cut))) is not None:
            if not (yield from self._survives(part, breaking)):
                return False
        return True

    def _run_stroke(self, stroke: int, part: Part, held: Held, only_cut: int) -> Steps:
        """Run a stroke to its end or until an edge breaks; returns the mount of the edge that broke, or None."""
        row = self.site.rows.strokes[stroke]
        # In a recut the other cutters of the stroke run where the metal has gone already, and do not wear.
        own_cuts = cuts_for(self.site, row, part)
        cuts = [cut for cut in own_cuts if only_cut in (NONE, cut)]
        minutes = cut_minutes(self.site, part, cuts, only_cut != NONE or part.rounds > 0)
        until_break, breaking = minutes_until_break(self.site, self.mounts, minutes, part)
        cut_min = min(stroke_minutes(self.site, row, own_cuts, minutes), until_break)
        break_unseen(self.site, self.mounts, minutes, part, cut_min)
        self.enter(State.CUTTING)
        felt = self.warmth.felt(held, self.env.now)
        self.warmth.runs(self.env.now, cut_min * self.pace)
        rubbed: dict[int, int] = {}
        if breaking is None:
            rubbed = apply_cuts(self.site, self.mounts, part, cuts, felt, only_cut != NONE or part.rounds > 0)
        for cut in cuts:
            spec = self.site.rows.cuts[cut]
            life_min, places = spec.life_min * part.heat_life, self.site.rows.features[spec.feature].places
            self.mounts[spec.slot].wear(min(minutes[cut], cut_min), life_min, rubbed.get(cut, 0), places)
        yield from self.spindle.run(part, cut_min * self.pace)
        return breaking

    def _plain_minutes(self, part: Part) -> Steps:
        """The work of an operation given by its minutes alone; all of it is cutting."""
        while (breaking := (yield from self._run_minutes(part))) is not None:
            if not (yield from self._survives(part, breaking)):
                return False
        return True

    def _run_minutes(self, part: Part) -> Steps:
        """Run through the minutes or until an edge breaks; returns the mount of the edge that broke, or None."""
        self.enter(State.CUTTING)
        cut_min, breaking = minutes_of_work(self, part), None
        for mount in self.mounts:
            until_break = mount.minutes_to_break(mount.edge.expected_life_min * part.heat_life)
            if until_break < cut_min:
                cut_min, breaking = until_break, mount
        for mount in self.mounts:
            mount.wear(cut_min, mount.edge.expected_life_min * part.heat_life)
        yield from self.spindle.run(part, cut_min * self.pace)
        return breaking

    def _survives(self, part: Part, broken: Mount) -> Steps:
        """A cutter broke: the set is changed at once; returns whether the part is saved, and cut again then."""
        broken.life_share = broken.break_share
        saved = is_saved(self.site, broken)
        if not saved:
            self.scrap(part, Cause.BROKEN_CUTTER)
        elif leaves_a_mark(broken):
            part.is_first_pass = self.is_first_try = False
        yield from self.changing.replace_broken(broken)
        return saved

    def _gauge(self, number: int, part: Part, held: Held) -> Steps:
        """Gauge the part if it is its turn; recut, salvage or scrap what is turned down. Returns whether it goes on."""
        row = self.site.rows.gauges[number]
        self.gauged[number - self.spec.first_gauge] += 1
        if self.gauged[number - self.spec.first_gauge] % row.every and number not in self.gauge_once:
            return True
        if row.in_room:
            return self.measuring.asks_for(number)
        recuts, master = 0, self.masters[number - self.spec.first_gauge]
        while True:
            visit = visit_of(self, "gauge", row.time != NONE and not row.in_spindle)
            yield from visit.come()
            self.enter(State.GAUGING)
            yield from master.see_to(recuts == 0)
            # Spots below the number of gauges belong to the errors of the readings.
            spot = len(self.site.rows.gauges) * (1 + part.tries) + number
            yield from self.spend(part, row.time, Purpose.GAUGE, spot, part.serial, visit)
            visit.leave()
            unseen_um = self.warmth.grown_um if row.in_spindle else 0.0
            reading = read(self.site, number, row, part, master.reads_off_um() + unseen_um)
            tell_maker(self.site, self.peers, self.rank, number, row, part, reading)
            cause = yield from self.site.decider.judge(self, number, part, reading)
            if cause is None:
                return True
            if cause is not Cause.METAL_LEFT or recuts >= row.tries or row.recut_stroke == NONE:
                return self._turned_down(number, part, row, cause)
            recuts += 1
            self.count_recut(part, cause)
            if not (yield from self.stroke(row.recut_stroke, part, held, row.recut_cut)):
                return False

    def _turned_down(self, gauge: int, part: Part, row: Any, cause: Cause) -> bool:
        """What becomes of a part that a gauge turns down for good."""
        if row.reject == Reject.SCRAP:
            return self.scrap(part, cause)
        if row.reject == Reject.SALVAGE:
            self.site.tally.salvaged[gauge, cause] += 1
            part.is_first_pass = self.is_first_try = False
            put_right(self.site, row.feature, part)
        return True

    def count_recut(self, part: Part, cause: Cause) -> None:
        """The part is cut again."""
        part.tries += 1
        part.is_first_pass = self.is_first_try = False
        self.site.tally.recut[self.index, cause] += 1

    def scrap(self, part: Part, cause: Cause) -> bool:
        """The part leaves the line as scrap; always False, as it does not go on."""
        self.site.scrap(part, self.operation, self.index, cause)
        self.yard.part_leaves()
        return False
