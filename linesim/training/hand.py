"""The trainee's hand on the floor: orders come in here, and the floor asks here where a person may step in."""

from __future__ import annotations

from collections import defaultdict, deque
from collections.abc import Generator, Iterable
from typing import Any

from simpy.events import URGENT, Event

from linesim.floor.machine import Machine
from linesim.floor.part import Part
from linesim.floor.people import People
from linesim.floor.reading import Reading
from linesim.floor.run import Floor
from linesim.plan.tally import Cause
from linesim.training import orders as kinds
from linesim.training.binding import START, Bound, Looks, Question, Spot
from linesim.training.directory import Directory
from linesim.training.ordered import Ordered
from linesim.training.watching import Watched

__all__ = ["Hand"]

READINGS_SHOWN = 12
"""Readings of a gauge that stand on its sheet."""


class Hand(Ordered):
    """Carries orders to the floor, and holds the line where the trainee has to decide.

    Parameters
    ----------
    directory : Directory
        Names of the plan.
    looks : Looks
        What a look takes.
    script : iterable of Bound
        Orders that take hold where they are bound to.
    is_live : bool
        Whether a trainee is there to be asked.
    """

    def __init__(self, directory: Directory, looks: Looks, script: Iterable[Bound] = (), is_live: bool = False) -> None:
        super().__init__(directory, looks)
        self.is_live = is_live
        self.is_on = False
        self.watched = Watched()
        self.pending: Question | None = None
        self.begun: dict[int, int] = defaultdict(int)
        self.parts_to_go: dict[int, int] = {}
        self.notices: dict[int, list[str]] = defaultdict(list)
        self.readings: dict[int, deque[tuple[int, Reading]]] = defaultdict(lambda: deque(maxlen=READINGS_SHOWN))
        """By gauge: the last parts read and what was read."""
        self.answers: dict[Spot, Any] = {}
        self._book: dict[int, list[tuple[Any, int]]] = defaultdict(list)
        self._script: dict[Spot, list[Bound]] = defaultdict(list)
        for bound in script:
            self._script[bound.at].append(bound)

    def take_over(self, floor: Floor) -> None:
        """The shift begins: rules come into the trainee's hands, and orders of the start take hold."""
        super().take_over(floor)
        self._machine_of_rank = {machine.rank: index for index, machine in floor.machines.items()}
        for pool, people in enumerate(self.site.pools):
            people.chooser = lambda asked, pool=pool: self._choose(pool, asked)
        self.is_on = True
        for bound in self._script[START]:
            self.take_hold(bound)

    # --- the trainee's side ------------------------------------------------------------------------------------------

    def book(self, machine: int, order: Any, number: int) -> None:
        """Put an order down for a machine's next part."""
        self._book[machine].append((order, number))

    def booked(self, machine: int) -> list[Any]:
        """Orders that wait for a machine's next part."""
        return [order for order, _ in self._book[machine]]

    def go_on(self) -> None:
        """The trainee has decided; what stood still goes on."""
        question, self.pending = self.pending, None
        if question is None:
            return
        self.answers.setdefault(question.at, None)
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
        at: Spot = ("part", index, self.begun[index])
        named: set[str] = set()
        looked: list[str] = []
        while True:
            for bound in self._taken(index, at):
                if isinstance(bound.order, kinds.Look):
                    looked += yield from self._look(machine, bound)
                else:
                    self.take_hold(bound)
            question = self._question(machine, at, named, looked)
            if question is None:
                self.watched.part_begun(machine)
                return
            looked = []
            yield self._hold(question)

    def _taken(self, machine: int, at: Spot) -> Generator[Bound, None, None]:
        """Orders for this part, one after another: those of the script, then those that the trainee gives."""
        yield from self._script.pop(at, ())
        while self._book[machine]:
            order, number = self._book[machine].pop(0)
            yield Bound(at, order, number)

    def _look(self, machine: Machine, bound: Bound) -> Generator[Event, Any, list[str]]:
        """Look at edges; returns what was read, in words."""
        self.bound.append(bound)
        words = []
        for index in self.directory.mounts(machine.index, bound.order.set):
            mount = self.mounts[index]
            yield from machine.changing.look(mount)
            read, limit = mount.edge.wear_read_mm or 0.0, mount.edge.wear_limit_mm
            words.append(
                f"The look at the {mount.edge.set_name} reads a wear land of {max(read, 0.0):.2f} mm "
                f"(it counts as dull at {limit:.2f} mm)."
            )
        return words

    def _question(self, machine: Machine, at: Spot, named: set[str], looked: list[str]) -> Question | None:
        """What there is to decide before this part, if anything."""
        index = machine.index
        if not self.is_live or index not in self.directory.in_hand:
            return None
        words, now_min = list(looked), self.site.by_calendar(self.site.env.now)
        words += self.notices.pop(index, [])
        for mount in machine.mounts:
            held = self.held[mount.index]
            if held.plan_says_so(mount.edge, now_min) and mount.edge.set_name not in named:
                named.add(mount.edge.set_name)
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
        at: Spot = ("reading", gauge, part.serial, part.tries)
        side = self._doubt(gauge, reading)
        if not self.is_on or side is None:
            if self.is_on and reading.cause is not None:
                self._notice(machine.index, gauge, reading.cause)
            return reading.cause
        answer = next(iter(self._script.pop(at, ())), None)
        if answer is None and self.is_live and machine.index in self.directory.in_hand:
            verdict = "turn it down" if reading.cause else "pass it"
            words = [
                f"Part {part.serial + 1} reads so near a limit that the gauge cannot tell; the plan would {verdict}."
            ]
            yield self._hold(Question("part", machine.index, words, at))
            answer = self.answers.get(at)
        if answer is None:
            return reading.cause
        self.bound.append(answer)
        if answer.order.say == "pass":
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
        is_smooth = row.roughness_low_um > 0.0 and abs(reading.roughness_um - row.roughness_low_um) <= rough
        if row.reads_roughness and rough > 0.0 and is_smooth:
            return Cause.SMOOTH
        return None

    def _notice(self, machine: int, gauge: int, cause: Cause) -> None:
        name = self.directory.names.gauges[gauge]
        self.notices[machine].append(f"The {name} has turned a part down: {cause.words}.")

    def _choose(self, pool: int, people: People) -> int | None:
        """Which of those who wait is served next; None as long as the trainee is asked."""
        for bound in self._script.pop(("first", pool, people.jobs), ()):
            self.take_hold(bound)
        waiting = [self._machine_of_rank.get(claim.rank) for claim in people.waiting]
        if not self.is_on or len(waiting) < 2:
            return 0
        at: Spot = ("job", pool, people.jobs)
        scripted = self._script.pop(at, None)
        if scripted:
            self.answers[at] = scripted[0]
        if self.answers.get(at) is not None:
            bound = self.answers.pop(at)
            self.bound.append(bound)
            wanted = self.directory.machines(bound.order.machine)
            return next((rank for rank, machine in enumerate(waiting) if machine in wanted), 0)
        for machine in self.priority.get(pool, ()):
            if machine in waiting:
                return waiting.index(machine)
        own = [machine for machine in waiting if machine is not None and machine in self.directory.in_hand]
        if self.is_live and len(own) > 1 and pool not in self.priority and at not in self.answers:
            names = " and ".join(self.directory.machine_name(machine) for machine in own)
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
        if why.startswith("broken"):
            self.notices[machine].append(
                f"The {self.directory.mount_names[mount]} broke in the cut after {parts} parts."
            )
