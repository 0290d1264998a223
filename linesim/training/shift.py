"""A shift in the trainee's hands: the line runs in steps, and the trainee decides.

Everything that the trainee does is one list of plain entries, the history. The same history on the same lesson and
shift gives the same state to the last bit, so that a page that is loaded again loses nothing, and a step back is made
by doing all but the last again.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import Any

from linesim.training import orders as kinds
from linesim.training.binding import START, Bound, Spot
from linesim.training.carrying import Case
from linesim.training.choices import choices_of
from linesim.training.lesson import AS_PLANNED, Lesson, Stated
from linesim.training.orders import TrainingError, order_from
from linesim.training.sight import view_of
from linesim.training.state import ShiftState

__all__ = ["Shift", "policy_script"]

_BOOKED = (kinds.Look, kinds.GaugeNow)
"""Orders that belong to one part and so wait for it."""


@dataclass
class Shift(ShiftState):
    """One shift of a lesson, in a trainee's hands.

    Notes
    -----
    A page or a terminal needs no more than ``view()``, ``choices()``, ``decide(...)``, ``back()`` and ``as_dict()``;
    with `filled` a choice and the figures typed into its fields become the order for ``decide``. `Shift.restored` makes
    the shift again from that dictionary, and `linesim.training.debrief.look_back` looks back on it once ``is_over``.
    """

    def __post_init__(self) -> None:
        self._again(self.history)

    @classmethod
    def restored(cls, lesson: Lesson, saved: Mapping[str, Any]) -> Shift:
        """A shift as `as_dict` gave it.

        Raises
        ------
        TrainingError
            It belongs to another lesson, or to another state of this one.
        """
        if saved.get("lesson") != lesson.key or saved.get("digest") != lesson.digest:
            raise TrainingError(
                f'the saved shift belongs to "{saved.get("lesson")}" as it was then; "{lesson.key}" as it is '
                "now was expected. Begin the shift anew"
            )
        try:
            return cls(lesson, int(saved["number"]), list(saved["history"]), int(saved.get("steps_back", 0)))
        except (KeyError, TypeError, ValueError) as error:
            raise TrainingError("the saved shift cannot be read; its number and its history were expected") from error

    @classmethod
    def by_policy(cls, lesson: Lesson, number: int, policy: Stated) -> Shift:
        """A shift played to its end by a stated policy."""
        history: list[dict[str, Any]] = [] if policy.way == AS_PLANNED else [{"do": "set up", "way": policy.way}]
        shift = cls(lesson, number, [*history, *policy.orders])
        shift.stand.hand.is_live = False
        shift.decide({"do": "run"})
        return shift

    def as_dict(self) -> dict[str, Any]:
        """Everything needed to restore the shift, fit for JSON."""
        return {
            "lesson": self.lesson.key,
            "digest": self.lesson.digest,
            "number": self.number,
            "history": self.history,
            "steps_back": self.steps_back,
        }

    def _again(self, history: Iterable[Mapping[str, Any]]) -> None:
        """Do what was done, from the beginning of the shift."""
        wanted, self.history = list(history), []
        self._begin(AS_PLANNED)
        for entry in wanted:
            self._do(entry)

    def view(self) -> dict[str, Any]:
        """What the trainee sees, as plain values."""
        return view_of(self)

    def choices(self) -> list[dict[str, Any]]:
        """What the trainee can decide now, as plain values; each with the entries of the order that it makes."""
        return choices_of(self)

    # --- deciding ----------------------------------------------------------------------------------------------------

    def decide(self, entries: Mapping[str, Any]) -> dict[str, Any]:
        """Carry out one decision, and return what the trainee sees then.

        Parameters
        ----------
        entries : mapping
            An order as `choices` describes it, such as ``{"do": "run", "minutes": 30}``.

        Raises
        ------
        TrainingError
            It is no order, or cannot be carried out now; nothing has been done then.
        """
        self._do(entries)
        return self.view()

    def _do(self, entries: Mapping[str, Any]) -> None:
        """Carry out one decision and write it down."""
        order = order_from(entries)
        if self.is_over:
            raise TrainingError("the shift is over; ask for the debrief, or begin another one")
        match order:
            case kinds.Run():
                self._run(order)
            case kinds.SetUp():
                self._set_up(order)
            case kinds.Verdict() | kinds.Send():
                self._answer(order)
            case _:
                self._order(order)
        self.history.append(order.plain())

    def back(self) -> dict[str, Any]:
        """Take the last step back: everything before it is done again, exactly as it was.

        Raises
        ------
        TrainingError
            There is nothing to take back.
        """
        if not self.history:
            raise TrainingError("nothing has been decided yet that could be taken back")
        self._again(self.history[:-1])
        self.steps_back += 1
        return self.view()

    def _run(self, order: kinds.Run) -> None:
        """Let the line run until it is to stop, or something has to be decided."""
        hand = self.stand.hand
        hand.parts_to_go.clear()
        if order.parts is not None:
            names = [order.machine] if order.machine else [self.lesson.in_hand[-1]]
            hand.parts_to_go.update(
                (machine, order.parts) for name in names for machine in hand.directory.machines(name)
            )
        until = self.case.ends_min
        if order.minutes is not None:
            until = min(until, self.stand.floor.site.env.now + order.minutes)
        hand.go_on()
        self.stand.floor.run_while(until, lambda: hand.pending is None)

    def _set_up(self, order: kinds.SetUp) -> None:
        """Set the line up in another way, before anything else."""
        way = self.lesson.known_way(order.way)
        if self.history and any(entry["do"] != "set up" for entry in self.history):
            raise TrainingError("the line is set up before the shift begins, and before any other order")
        self._begin(way)

    def _answer(self, order: Any) -> None:
        """Answer the question at which the line stands."""
        question = self.stand.hand.pending
        wanted = "part" if isinstance(order, kinds.Verdict) else "setter"
        if question is None or question.kind != wanted:
            what = "no part is in doubt" if wanted == "part" else "no setter has a choice to make"
            raise TrainingError(f"{what} at this moment")
        if isinstance(order, kinds.Send):
            directory = self.case.directory
            machines = directory.machines(order.machine)
            if not set(machines) & set(question.waiting):
                names = ", ".join(f'"{directory.machine_name(machine)}"' for machine in question.waiting)
                raise TrainingError(f'"{order.machine}" does not wait for a setter; there wait {names}')
        self.stand.hand.answers[question.at] = Bound(question.at, order, self._next_number())

    def _order(self, order: Any) -> None:
        """Take down an order for the floor: at once before the first step, else for the machine's next part."""
        targets = _targets(self.case, order)
        number, hand = self._next_number(), self.stand.hand
        for machine, single in targets:
            if isinstance(single, kinds.First):
                pool = self.case.directory.pool(single.people)
                at: Spot = START if self.is_fresh else ("first", pool, self.stand.floor.site.pools[pool].jobs)
                hand.take_hold(Bound(at, single, number))
            elif self.is_fresh and not isinstance(single, _BOOKED):
                hand.take_hold(Bound(START, single, number))
            else:
                hand.book(machine, single, number)

    def _next_number(self) -> int:
        self._decisions += 1
        return self._decisions - 1


def _targets(case: Case, order: Any) -> list[tuple[int, Any]]:
    """Part an order into one for each machine that it concerns, and see that all its names are known."""
    directory = case.directory
    if isinstance(order, kinds.First):
        directory.pool(order.people)
        for name in order.machines:
            directory.machines(name)
        return [(-1, order)]
    if isinstance(order, kinds.GaugeNow | kinds.GaugeEvery | kinds.Correct):
        gauge, machines = directory.gauge(order.gauge)
        if isinstance(order, kinds.Correct) and not case.plan.gauges.reads_size[gauge]:
            raise TrainingError(f'the "{order.gauge}" reads no size; there is nothing in it to correct an offset by')
        return [(machines[0], order)]
    singles = []
    for machine in directory.machines(order.machine):
        if isinstance(order, kinds.Offset):
            directory.cut(machine, order.cut)
        elif isinstance(order, kinds.Chips):
            if machine not in directory.with_chips():
                raise TrainingError(f'no chips are expected at "{directory.machine_name(machine)}"')
        elif order.machine != kinds.ALL:
            directory.mounts(machine, order.set)
        elif (order.set == kinds.ALL and not directory.mounts_of(machine)) or (
            order.set != kinds.ALL
            and order.set not in [directory.mount_names[mount] for mount in directory.mounts_of(machine)]
        ):
            continue
        singles.append((machine, order.model_copy(update={"machine": directory.machine_name(machine)})))
    if not singles:
        named = "" if order.set == kinds.ALL else f' "{order.set}"'
        raise TrainingError(f"no machine in your hands has a cutter set{named}")
    return singles


def policy_script(case: Case, entries: Iterable[Mapping[str, Any]]) -> list[Bound]:
    """Orders of a stated policy, all of them in force from the beginning of the shift.

    Raises
    ------
    TrainingError
        One of them cannot stand from the beginning, or names something that is not there.
    """
    script = []
    for number, entry in enumerate(entries):
        order = order_from(entry)
        if isinstance(order, (*_BOOKED, kinds.Run, kinds.SetUp, kinds.Send, kinds.Verdict)):
            raise TrainingError(f'a stated policy holds from the beginning; "{order.do}" belongs to one moment')
        script += [Bound(START, single, number) for _, single in _targets(case, order)]
    return script
