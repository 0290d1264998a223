"""The trainee's hand on the floor: orders come in here, and the floor asks here where a person may step in.

Every order is bound to the place where it takes hold: the start of the shift, a machine's so manieth part, a setter's
so manieth job, a reading of a gauge. So the same orders can be carried out again on the same shift, all of them or
all but one, without a clock: that is what a debrief compares.
"""

from __future__ import annotations

from collections import defaultdict, deque
from collections.abc import Generator, Iterable
from dataclasses import dataclass, field
from typing import Any

from simpy.events import URGENT, Event

from linesim.floor.decider import Decider
from linesim.floor.machine import Machine
from linesim.floor.part import Part
from linesim.floor.people import People
from linesim.floor.reading import Reading
from linesim.floor.run import Floor
from linesim.plan.tables import NONE
from linesim.plan.tally import Cause
from linesim.rules import kind_of
from linesim.training import orders as kinds
from linesim.training.holding import InHand, standing_rule
from linesim.training.places import Places

__all__ = ["START", "Bound", "Hand", "Looks", "Place", "Question"]

Place = tuple[str | int, ...]
"""Where an order takes hold: ("start",), ("part", machine, count), ("reading", gauge, part, try), or at a setter's job:
("job", pool, count) for that one, ("first", pool, count) from it on."""

START: Place = ("start",)

READINGS_KEPT = 12
"""Readings of a gauge that stand on its sheet."""


@dataclass(frozen=True)
class Bound:
    """An order and the place where it takes hold."""

    at: Place
    order: Any
    number: int
    """Which decision of the trainee's it comes from, from 0."""


@dataclass(frozen=True)
class Looks:
    """What a look at an edge takes where no rule says so: minutes, and the error of the reading in mm."""

    minutes: float = 1.5
    error_mm: float = 0.02


@dataclass
class Question:
    """Where the line stands still until the trainee has decided.

    Attributes
    ----------
    kind : str
        "machine" (before a part), "part" (a doubtful one) or "setter".
    machine : int
        The machine concerned; for a setter the first of those that wait.
    words : list of str
        What there is to decide, in sentences.
    at : Place
        Where an answer takes hold.
    waiting : list of int
        Machines that wait for the setter.
    """

    kind: str
    machine: int
    words: list[str]
    at: Place
    waiting: list[int] = field(default_factory=list)
    event: Event | None = None
    people: People | None = None


class Hand(Decider):
    """Carries orders to the floor, and holds the line where the trainee has to decide.

    Parameters
    ----------
    places : Places
        Names of the plan.
    looks : Looks
        What a look takes.
    script : iterable of Bound
        Orders that take hold where they are bound to.
    is_live : bool
        Whether a trainee is there to be asked.
    """

    def __init__(self, places: Places, looks: Looks, script: Iterable[Bound] = (), is_live: bool = False) -> None:
        self.places = places
        self.looks = looks
        self.chip_ways: dict[int, tuple[int, float, float]] = {}
        """By operation: the time of cleaning, and the chance of a chip with it and without."""
        self.is_live = is_live
        self.is_on = False
        self.bound: list[Bound] = []
        """Orders that have taken hold, in that order."""
        self.pending: Question | None = None
        self.begun: dict[int, int] = defaultdict(int)
        self.parts_to_go: dict[int, int] = {}
        self.notices: dict[int, list[str]] = defaultdict(list)
        self.readings: dict[int, deque[tuple[int, Reading]]] = defaultdict(lambda: deque(maxlen=READINGS_KEPT))
        """By gauge: the last parts read and what was read."""
        self.true_wear: dict[int, list[tuple[str, float]]] = defaultdict(list)
        """By decision: the sets that it concerned and their life shares then; for the debrief alone."""
        self.said: dict[Place, Any] = {}
        self.priority: dict[int, list[int]] = {}
        self._book: dict[int, list[tuple[Any, int]]] = defaultdict(list)
        self._script: dict[Place, list[Bound]] = defaultdict(list)
        for bound in script:
            self._script[bound.at].append(bound)

    # --- taking over -------------------------------------------------------------------------------------------------

    def take_over(self, floor: Floor) -> None:
        """The shift begins: rules come into the trainee's hands, and orders of the start take hold."""
        self.floor = floor
        self.site = floor.site
        self.mounts = {mount.index: mount for machine in floor.machines.values() for mount in machine.mounts}
        self.held = {index: InHand(self.mounts[index].rule) for index in self.mounts}
        self._machine_of_rank = {machine.rank: index for index, machine in floor.machines.items()}
        ways, rows = self.site.plan.rules.way, self.site.rows.mounts
        for index, mount in self.mounts.items():
            mount.rule = self.held[index]
            if not kind_of(ways[rows[index].rule]).looks:
                mount.look_as = (self.looks.minutes, self.looks.error_mm)
        for pool, people in enumerate(self.site.pools):
            people.chooser = lambda asked, pool=pool: self._choose(pool, asked)
        self.is_on = True
        for bound in self._script[START]:
            self.take_hold(bound)

    def take_hold(self, bound: Bound) -> None:
        """Carry out an order that takes no time, where it is bound to."""
        self.bound.append(bound)
        order = bound.order
        match order:
            case kinds.RuleOrder() | kinds.Change() | kinds.Leave():
                self._at_sets(order, bound.number)
            case kinds.Offset():
                for machine in self.places.machines(order.machine):
                    cut = self.places.cut(machine, order.cut)
                    mount = self.floor.machines[machine].mounts[self.site.rows.cuts[cut].slot]
                    # Where the set is about to be changed, the new edge is set so.
                    is_due = self.held[mount.index].is_due(mount.edge, self.site.env.now)
                    offsets = mount.preset if is_due else mount.offsets
                    offsets[cut] = offsets.get(cut, 0.0) + order.deeper
            case kinds.Chips():
                for machine in self.places.machines(order.machine):
                    self.set_chips(machine, order.clean)
            case kinds.GaugeNow():
                gauge, machines = self.places.gauge(order.gauge)
                for machine in machines:
                    self.floor.machines[machine].gauge_once.add(gauge)
            case kinds.GaugeEvery() | kinds.Correct():
                self._at_gauge(order)
            case kinds.First():
                served = [machine for name in order.machines for machine in self.places.machines(name)]
                self.priority[self.places.pool(order.people)] = served

    def _at_sets(self, order: Any, number: int) -> None:
        """Orders for mounted sets."""
        for machine in self.places.machines(order.machine):
            for index in self.places.mounts(machine, order.set):
                held, mount = self.held[index], self.mounts[index]
                self.true_wear[number].append((mount.edge.set_name, mount.life_share))
                if isinstance(order, kinds.RuleOrder):
                    held.rule = (
                        held.plans if order.rule == "the plan's" else standing_rule(order.rule, mount, self.site.plan)
                    )
                elif isinstance(order, kinds.Leave):
                    held.leave_until = mount.edge.parts + order.parts
                else:
                    held.is_wanted = True
                    mount.is_given_up = order.dull == "given up"

    def _at_gauge(self, order: Any) -> None:
        """Orders on how a gauge is used; the row of the gauge is the trainee's own from now on."""
        gauge, _ = self.places.gauge(order.gauge)
        row = self.site.rows.gauges[gauge]
        if isinstance(order, kinds.GaugeEvery):
            self.site.rows.gauges[gauge] = row._replace(every=order.parts)
            return
        row = row._replace(correction_share=order.share, dead_band_um=order.dead_band)
        if row.corrects_cut < 0 <= row.recut_cut:
            row = row._replace(corrects_cut=row.recut_cut, corrects_operation=row.maker_operation)
        self.site.rows.gauges[gauge] = row if order.share > 0.0 else row._replace(corrects_cut=-1)

    def set_chips(self, machine: int, is_cleaned: bool) -> None:
        """Clean the locating faces at a machine's operation from now on, or leave it."""
        operation = self.places.operation_of[machine]
        time, cleaned, uncleaned = self.chip_ways[operation]
        row = self.site.rows.operations[operation]
        changed = row._replace(
            chip_clean_time=time if is_cleaned else NONE, chip_chance=cleaned if is_cleaned else uncleaned
        )
        self.site.rows.operations[operation] = changed
        for other in range(row.first_machine, row.end_machine):
            self.floor.machines[other].spec = changed

    # --- the trainee's side ------------------------------------------------------------------------------------------

    def book(self, machine: int, order: Any, number: int) -> None:
        """Keep an order for a machine's next part."""
        self._book[machine].append((order, number))

    def booked(self, machine: int) -> list[Any]:
        """Orders that wait for a machine's next part."""
        return [order for order, _ in self._book[machine]]

    def go_on(self) -> None:
        """The trainee has decided; what stood still goes on."""
        question, self.pending = self.pending, None
        if question is None:
            return
        self.said.setdefault(question.at, None)
        if question.people is not None:
            self.site.foreman.call(question.people.number)
        if question.event is not None:
            # The answer comes before anything else of the instant, as if it had been known.
            question.event._ok, question.event._value = True, None  # noqa: SLF001
            self.site.env.schedule(question.event, priority=URGENT)

    def _hold(self, question: Question) -> Event:
        """Let the line stand still until the trainee has decided."""
        question.event = Event(self.site.env)
        self.pending = question
        return question.event

    # --- the floor's side --------------------------------------------------------------------------------------------

    def before_part(self, machine: Machine, part: Part) -> Generator[Event, Any, None]:
        """Carry out what is ordered for this part, and ask where there is something to decide."""
        del part
        index = machine.index
        self.begun[index] += 1
        if not self.is_on:
            return
        machine.gauge_once.clear()
        at: Place = ("part", index, self.begun[index])
        told: set[str] = set()
        looked: list[str] = []
        while True:
            for bound in self._taken(index, at):
                if isinstance(bound.order, kinds.Look):
                    looked += yield from self._look(machine, bound)
                else:
                    self.take_hold(bound)
            question = self._question(machine, at, told, looked)
            if question is None:
                return
            looked = []
            yield self._hold(question)

    def _taken(self, machine: int, at: Place) -> Generator[Bound, None, None]:
        """Orders for this part, one after another: those of the script, then those that the trainee gives."""
        yield from self._script.pop(at, ())
        while self._book[machine]:
            order, number = self._book[machine].pop(0)
            yield Bound(at, order, number)

    def _look(self, machine: Machine, bound: Bound) -> Generator[Event, Any, list[str]]:
        """Look at edges; returns what was read, in words."""
        self.bound.append(bound)
        words = []
        for index in self.places.mounts(machine.index, bound.order.set):
            mount = self.mounts[index]
            yield from machine.changing.look(mount)
            read, limit = mount.edge.wear_read_mm or 0.0, mount.edge.wear_limit_mm
            words.append(
                f"The look at the {mount.edge.set_name} reads a wear land of {max(read, 0.0):.2f} mm "
                f"(it counts as dull at {limit:.2f} mm)."
            )
        return words

    def _question(self, machine: Machine, at: Place, told: set[str], looked: list[str]) -> Question | None:
        """What there is to decide before this part, if anything."""
        index = machine.index
        if not self.is_live or index not in self.places.in_hand:
            return None
        words = list(looked)
        words += self.notices.pop(index, [])
        for mount in machine.mounts:
            held = self.held[mount.index]
            if held.plan_says_so(mount.edge, self.site.env.now) and mount.edge.set_name not in told:
                told.add(mount.edge.set_name)
                words.append(f"By the plan it is time to change: {mount.edge.set_name}, {mount.edge.parts} parts.")
        if index in self.parts_to_go:
            self.parts_to_go[index] -= 1
            if self.parts_to_go[index] < 0:
                del self.parts_to_go[index]
                words.append("The parts that you asked for are done.")
        return Question("machine", index, words, at) if words else None

    def judge(self, machine: Machine, gauge: int, part: Part, reading: Reading) -> Generator[Event, Any, Cause | None]:
        """Hear the trainee on a doubtful part; what is plain is judged by the gauge's limits."""
        self.readings[gauge].append((part.serial, reading))
        at: Place = ("reading", gauge, part.serial, part.tries)
        side = self._doubt(gauge, reading)
        if not self.is_on or side is None:
            if self.is_on and reading.cause is not None:
                self._notice(machine.index, gauge, reading.cause)
            return reading.cause
        said = next(iter(self._script.pop(at, ())), None)
        if said is None and self.is_live and machine.index in self.places.in_hand:
            verdict = "turn it down" if reading.cause else "pass it"
            words = [
                f"Part {part.serial + 1} reads so near a limit that the gauge cannot tell; the plan would {verdict}."
            ]
            yield self._hold(Question("part", machine.index, words, at))
            said = self.said.get(at)
        if said is None:
            return reading.cause
        self.bound.append(said)
        if said.order.say == "pass":
            return None
        return reading.cause or side

    def _doubt(self, gauge: int, reading: Reading) -> Cause | None:
        """On which side a reading is in doubt: within twice the gauge's error of a limit; None where it is plain."""
        row = self.site.rows.gauges[gauge]
        if reading.cause is Cause.NOT_CLEANED_UP:
            return None
        size = 2.0 * row.error_um
        if row.reads_size and size > 0.0:
            if abs(reading.worst_um - row.high_um) <= size:
                return Cause.METAL_LEFT
            if abs(reading.worst_um - row.low_um) <= size:
                return Cause.CUT_AWAY
        rough = 2.0 * row.roughness_error_um
        if row.reads_roughness and rough > 0.0 and abs(reading.roughness_um - row.roughness_limit_um) <= rough:
            return Cause.ROUGH
        return None

    def _notice(self, machine: int, gauge: int, cause: Cause) -> None:
        name = self.places.names.gauges[gauge]
        self.notices[machine].append(f"The {name} has turned a part down: {cause.words}.")

    def _choose(self, pool: int, people: People) -> int | None:
        """Which of those who wait is served next; None as long as the trainee is asked."""
        for bound in self._script.pop(("first", pool, people.jobs), ()):
            self.take_hold(bound)
        waiting = [self._machine_of_rank.get(claim.rank) for claim in people.waiting]
        if not self.is_on or len(waiting) < 2:
            return 0
        at: Place = ("job", pool, people.jobs)
        scripted = self._script.pop(at, None)
        if scripted:
            self.said[at] = scripted[0]
        if self.said.get(at) is not None:
            bound = self.said.pop(at)
            self.bound.append(bound)
            wanted = self.places.machines(bound.order.machine)
            return next((place for place, machine in enumerate(waiting) if machine in wanted), 0)
        for machine in self.priority.get(pool, ()):
            if machine in waiting:
                return waiting.index(machine)
        own = [machine for machine in waiting if machine is not None and machine in self.places.in_hand]
        if self.is_live and len(own) > 1 and pool not in self.priority and at not in self.said:
            names = " and ".join(self.places.machine_name(machine) for machine in own)
            words = [f"A setter is free, and {names} wait. Who is served first?"]
            self.pending = Question("setter", own[0], words, at, waiting=own, people=people)
            return None
        return 0

    # --- listening ---------------------------------------------------------------------------------------------------

    def machine_enters(self, now_min: float, machine: int, state: object) -> None:
        """Nothing to do."""

    def part_moves(self, now_min: float, part: Part, operation: int, machine: int, what: str) -> None:
        """Nothing to do."""

    def set_changed(self, now_min: float, machine: int, mount: int, why: str, life_share: float, parts: int) -> None:
        """A sharp edge comes in: orders for the old one are done with."""
        del now_min, life_share
        if not self.is_on:
            return
        self.held[mount].is_wanted = False
        self.held[mount].leave_until = None
        if why == "broken":
            self.notices[machine].append(f"The {self.places.mount_names[mount]} broke in the cut after {parts} parts.")
