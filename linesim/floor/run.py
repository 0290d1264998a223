"""Setting up a floor from a plan, and running it."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import Protocol

from linesim.floor.batch import BatchStation
from linesim.floor.beginning import fill_shelves, rounds_of, stand_as_now
from linesim.floor.buffer import Buffer
from linesim.floor.decider import Decider
from linesim.floor.first_bench import FirstBench
from linesim.floor.joining import Meeting
from linesim.floor.machine import Machine
from linesim.floor.mixing import forked
from linesim.floor.mount import Mount
from linesim.floor.people import nothing_comes
from linesim.floor.room_benches import set_up_rooms
from linesim.floor.rules import ChangeRule, Edge, rules_of
from linesim.floor.site import Site, Watcher
from linesim.floor.standstill import Standing, note_standstill
from linesim.floor.station import Target
from linesim.floor.testing import Bench
from linesim.floor.transport import Carrier, PartWay
from linesim.floor.yard import Yard
from linesim.plan.plan import Plan
from linesim.plan.shape_tables import Way
from linesim.plan.tables import NONE, UNLIMITED
from linesim.plan.tally import Tally, empty_tally

__all__ = ["Floor", "run_floor"]


def run_floor(plan: Plan, seed: int, replication: int, watchers: Sequence[Watcher] = ()) -> Tally:
    """Run a plan once on the SimPy floor.

    Parameters
    ----------
    plan : Plan
        What to run.
    seed, replication : int
        Key of all chance, each 0 to 2**64 - 1; the same key gives the same run, whatever else is run.
    watchers : sequence of Watcher
        Who listens (a trace, a picture); they do not change the run.

    Returns
    -------
    Tally
        Sums over the counted time.

    Raises
    ------
    RunError
        Parts go round without time passing.
    ScenarioError
        A rule of the user's own is not known.
    """
    floor = Floor(plan, seed, replication, watchers)
    floor.run_until(plan.warm_up_min)
    floor.start_counting()
    floor.run_until(plan.warm_up_min + plan.length_min)
    return floor.finish()


class Counter(Protocol):
    """Something that counts over time."""

    def start_counting(self) -> None:
        """Forget what was counted before now."""

    def stop_counting(self) -> None:
        """Count up to now."""


class Floor:
    """A floor that can be run in steps.

    Attributes
    ----------
    site : Site
        The clock, the tally and all that is shared.
    machines : dict of int to Machine
        By their number in the plan.
    """

    def __init__(
        self,
        plan: Plan,
        seed: int,
        replication: int,
        watchers: Sequence[Watcher] = (),
        decider: Decider | None = None,
    ) -> None:
        self.plan = plan
        self.site = Site(plan, seed, replication, list(watchers), decider)
        self.meeting = self.site.meeting = Meeting(self.site)
        self.machines: dict[int, Machine] = {}
        self.yards: list[Yard] = []
        self.buffers: dict[int, Buffer] = {}
        self.ways: dict[int, PartWay] = {}
        self.carriers: list[Carrier] = []
        self._counted_from = 0.0
        rules = rules_of(plan)
        for line in range(len(plan.lines.castings)):
            self._set_up_line(line, rules)
        self.meeting.begin(self.buffers)
        fill_shelves(self.site)
        if plan.begins is not None:
            stand_as_now(self.site, plan.begins, self.machines, self.yards, self.buffers)
        for machine in self.machines.values():
            machine.peers = self.machines
            self.site.env.process(rounds_of(plan.begins, machine))

    def _set_up_line(self, line: int, rules: list[ChangeRule]) -> None:
        """Yard, buffers, machines and dispatch of one line, from the end to the start: downstream is served first."""
        site, lines = self.site, self.plan.lines
        first, end = int(lines.first_operation[line]), int(lines.end_operation[line])
        yard = Yard(site, line)
        target: Target = self.meeting.end_of(line, yard)
        for operation in reversed(range(first, end)):
            source: Yard | Buffer = yard
            if operation > first:
                source = self.buffers[operation] = self._buffer(operation)
            spec = site.rows.operations[operation]
            for index in range(spec.first_machine, spec.end_machine):
                kind = BatchStation if site.rows.batches[operation].most else Machine
                self.machines[index] = kind(site, index, self._mounts(index, rules), source, target, yard)
            if isinstance(source, Buffer):
                target = forked(site, operation, self._dock(operation, source), target)
        self.yards.append(yard)
        for test in [spec.test for spec in site.rows.operations[first:end] if spec.test != NONE]:
            self._set_up_benches(test)
        for operation in range(first, end):
            self._set_up_first_benches(operation)
        set_up_rooms(site, range(first, end), self.machines)

    def _buffer(self, operation: int) -> Buffer:
        """The room before an operation, with the way there if parts keep their order on it."""
        site, row = self.site, self.site.rows.moves[operation]
        if row.way in (Way.MINUTES, Way.CONVEYOR):
            way = self.ways[operation] = PartWay(site, operation)
            return way
        return Buffer(site.env, site.foreman, row.room)

    def _dock(self, operation: int, buffer: Buffer) -> Buffer:
        """Where the machines before an operation put their parts: the room before it, or a place by the carriers."""
        site, row = self.site, self.site.rows.moves[operation]
        if row.way != Way.CARRIERS:
            return buffer
        dock = Buffer(site.env, site.foreman, 0)
        for number in range(row.carriers):
            carrier = Carrier(site, operation, number, dock, buffer)
            self.carriers.append(carrier)
            site.env.process(carrier.run())
        return dock

    def _set_up_benches(self, test: int) -> None:
        """The benches of a test, and the parts that wait for them."""
        site, row = self.site, self.site.rows.tests[test]
        if row.tries == 0:
            return
        waiting = Buffer(site.env, site.foreman, UNLIMITED)
        spec = site.rows.operations[row.operation]
        for index in range(spec.first_machine, spec.end_machine):
            self.machines[index].bench = waiting
        for number in range(row.benches):
            rank = (spec.rank, spec.end_machine - spec.first_machine + 1 + number)
            bench = Bench(site, test, rank, waiting, self.buffers[row.back_to])
            site.env.process(bench.run())

    def _set_up_first_benches(self, operation: int) -> None:
        """The benches where first pieces are gauged while their machines run on."""
        site, spec = self.site, self.site.rows.operations[operation]
        if site.rows.first_pieces[operation].runs_on:
            for index in range(spec.first_machine, spec.end_machine):
                waiting = Buffer(site.env, site.foreman, UNLIMITED)
                site.env.process(FirstBench(self.machines[index], waiting).run())

    def _mounts(self, machine: int, rules: list[ChangeRule]) -> list[Mount]:
        """The mounts of a machine, each with new sets."""
        site, row = self.site, self.site.rows.machines[machine]
        mounts = []
        for index in range(row.first_mount, row.end_mount):
            spec = site.rows.mounts[index]
            kind = site.rows.kinds[spec.kind]
            edge = Edge(self.plan.names.kinds[spec.kind], spec.expected_life_min, kind.wear_limit_mm)
            mount = Mount(index, kind, rules[spec.rule], edge, site.timing)
            mount.aims = self._aims(row.operation, index - row.first_mount)
            mount.first_tries, mount.rezero_parts, mount.types = spec.first_tries, spec.rezero_parts, spec.types
            at_work, *mount.sharp = [site.crib.new_set(spec.kind) for _ in range(spec.sisters)]
            mount.put_in(at_work, site.by_calendar(0.0))
            mounts.append(mount)
        return mounts

    def _aims(self, operation: int, slot: int) -> dict[int, float]:
        """Where a fresh edge is meant to stand, by each cut that it makes at an operation."""
        rows, spec = self.site.rows, self.site.rows.operations[operation]
        strokes = [rows.strokes[stroke] for stroke in range(spec.first_stroke, spec.end_stroke)]
        cuts = [cut for stroke in strokes for cut in range(stroke.first_cut, stroke.end_cut)]
        return {cut: rows.cuts[cut].aim_um for cut in cuts if rows.cuts[cut].slot == slot}

    def run_until(self, minute: float) -> None:
        """Let the floor run until a moment, minutes from the start; what is due at that moment has not happened yet."""
        env = self.site.env
        while env.peek() < minute:
            env.step()
        # SimPy's own stop event would come at now + (minute - now), which can miss the moment by the last bit.
        env._now = max(env.now, minute)  # noqa: SLF001

    def run_while(self, minute: float, goes_on: Callable[[], bool]) -> None:
        """Let the floor run until a moment as `run_until` does, or until something holds it up before."""
        env = self.site.env
        while goes_on() and env.peek() < minute:
            env.step()
        if goes_on():
            self.run_until(minute)

    def start_counting(self) -> None:
        """Cut off the warm-up: forget what was counted before now."""
        site = self.site
        site.tally = empty_tally(self.plan)
        self._counted_from = site.env.now
        for machine in self.machines.values():
            machine.state_since = site.env.now
        for counter in self._counters():
            counter.start_counting()

    def finish(self) -> Tally:
        """Count up to now, and hand over the tally."""
        site, tally = self.site, self.site.tally
        tally.counted_min = site.env.now - self._counted_from
        for machine in self.machines.values():
            tally.state_min[machine.index, machine.state] += site.env.now - machine.state_since
            machine.state_since = site.env.now
        for counter in self._counters():
            counter.stop_counting()
        self._collect(tally)
        self._note_if_stuck(tally)
        return tally

    def _counters(self) -> list[Counter]:
        """Everything that counts over time."""
        crib = self.site.crib
        return [
            *self.yards,
            *self.meeting.stocks.values(),
            *self.buffers.values(),
            *self.carriers,
            *crib.shelves,
            *self.site.pools,
            crib.grinders,
        ]

    def _collect(self, tally: Tally) -> None:
        """Copy what buffers, shelves and people have counted."""
        for operation, buffer in self.buffers.items():
            count = buffer.count
            tally.stock_min[operation] = count.stock_min
            tally.most_stock[operation] = count.most
            tally.taken[operation] = count.taken
            tally.had_to_wait[operation] = count.waited
            tally.stood_min[operation] = count.waited_min
        for kind, shelf in enumerate(self.site.crib.shelves):
            tally.regrinds[kind], tally.bought[kind] = shelf.regrinds, shelf.bought
            tally.set_claims[kind], tally.set_waited_min[kind] = shelf.claims, shelf.waited_min
            tally.sharp_min[kind], tally.fewest_sharp[kind] = shelf.sharp_min, shelf.lowest
            tally.presettings[kind], tally.preset_min[kind] = shelf.presettings, shelf.preset_min
            tally.preset_waited_min[kind] = shelf.preset_waited_min
        for pool, people in enumerate((*self.site.pools, self.site.crib.grinders)):
            people.collect(tally, pool)

    def _note_if_stuck(self, tally: Tally) -> None:
        """With nothing due any more, a line that still holds parts or has castings to come can never move again."""
        is_over = nothing_comes(self.site.env, self.site.pools)
        holds = any(yard.inside > 0 or yard.serial < min(yard.limit, UNLIMITED) for yard in self.yards)
        tally.is_stuck = is_over and holds
        if tally.is_stuck:
            tally.stuck_at_min = max(machine.last_entry for machine in self.machines.values())
        note_standstill(self.plan, tally, self._standing())

    def _standing(self) -> Standing:
        """How the floor stands."""
        machines = [self.machines[index] for index in range(len(self.machines))]
        missing: dict[int, set[int]] = {}
        for kind, shelf in enumerate(self.site.crib.shelves):
            for claim in shelf.waiting:
                missing.setdefault(int(self.plan.mounts.machine[claim.stake]), set()).add(kind)  # type: ignore[call-overload]
        return Standing(
            states=[machine.state for machine in machines],
            since_min=[machine.last_entry for machine in machines],
            missing=missing,
            coming={kind for kind, shelf in enumerate(self.site.crib.shelves) if shelf.coming},
            inside=[yard.inside for yard in self.yards],
            to_come=[max(min(yard.limit, UNLIMITED) - yard.serial, 0) for yard in self.yards],
            starts={m.index for m in machines if isinstance(m, BatchStation) and m.starts_by_clock},
            under_way={way.operation for way in self.ways.values() if way.is_due}
            | {carrier.operation for carrier in self.carriers if carrier.is_due},
        )
