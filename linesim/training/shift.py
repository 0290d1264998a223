"""A shift in the trainee's hands: the line runs in steps, and the trainee decides.

Everything that the trainee does is one list of plain entries, the history. The same history on the same lesson and
shift gives the same state to the last bit, so that a page that is loaded again loses nothing, and a step back is made
by doing all but the last again.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from typing import Any

from linesim.ledger import Item
from linesim.training import orders as kinds
from linesim.training.carrying import HANDED_OVER, Carried, Case, Stand, carried_by, carry_out, stand_up
from linesim.training.hand import START, Bound, Place
from linesim.training.lesson import AS_PLANNED, Lesson, Stated
from linesim.training.orders import TrainingError, order_from
from linesim.training.senses import Senses
from linesim.training.views import choices_of, view_of

__all__ = ["Shift", "filled", "policy_script"]

_BOOKED = (kinds.Look, kinds.GaugeNow)
"""Orders that belong to one part and so wait for it."""

_LEDGER_EVERY_MIN = 60.0

_UNSEEN = (Item.QUALITY_LOSS.value, HANDED_OVER)
"""Items that nobody knows before the end."""


@dataclass
class Shift:
    """One shift of a lesson, in a trainee's hands.

    Attributes
    ----------
    lesson : Lesson
        What is learnt.
    number : int
        Which shift, from 1: the same number gives the same castings, edges and breakdowns.
    history : list of dict
        Everything that the trainee did, as plain values; fit for JSON.
    steps_back : int
        How often a step was taken back.

    Notes
    -----
    A page or a terminal needs no more than ``view()``, ``choices()``, ``decide(...)``, ``back()`` and ``kept()``; with
    `filled` a choice and the figures typed into its fields become the order for ``decide``. `Shift.restored` makes the
    shift again from what was kept, and `linesim.training.debrief.look_back` looks back on it once ``is_over``.
    """

    lesson: Lesson
    number: int = 1
    history: list[dict[str, Any]] = field(default_factory=list)
    steps_back: int = 0

    def __post_init__(self) -> None:
        self._again(self.history)

    @classmethod
    def restored(cls, lesson: Lesson, kept: Mapping[str, Any]) -> Shift:
        """A shift as `kept` left it.

        Raises
        ------
        TrainingError
            It belongs to another lesson, or to another state of this one.
        """
        if kept.get("lesson") != lesson.key or kept.get("digest") != lesson.digest:
            raise TrainingError(
                f'the shift that was kept belongs to "{kept.get("lesson")}" as it was then; "{lesson.key}" as it is '
                "now was expected. Begin the shift anew"
            )
        try:
            return cls(lesson, int(kept["number"]), list(kept["history"]), int(kept.get("steps_back", 0)))
        except (KeyError, TypeError, ValueError) as error:
            raise TrainingError(
                "the shift that was kept cannot be read; its number and its history were expected"
            ) from error

    @classmethod
    def by_policy(cls, lesson: Lesson, number: int, policy: Stated) -> Shift:
        """A shift played to its end by a stated policy."""
        history: list[dict[str, Any]] = [] if policy.way == AS_PLANNED else [{"do": "set up", "way": policy.way}]
        shift = cls(lesson, number, [*history, *policy.orders])
        shift.stand.hand.is_live = False
        shift.decide({"do": "run"})
        return shift

    def kept(self) -> dict[str, Any]:
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

    def _begin(self, way: str) -> None:
        """Let the line run up to the beginning of the shift."""
        self.way = way
        self.case: Case = self.lesson.case(self.number, way)
        self.senses = Senses(self.case.places)
        self.stand: Stand = stand_up(self.case, is_live=True)
        self.stand.floor.site.watchers.append(self.senses)
        self.senses.floor = self.stand.floor
        self._decisions = 0
        self._carried: Carried | None = None
        self._ledger: tuple[float, dict[str, float]] = (0.0, {})

    # --- the state ---------------------------------------------------------------------------------------------------

    @property
    def minute(self) -> float:
        """Minutes of the shift that have passed."""
        return self.stand.floor.site.env.now - self.case.starts_min

    @property
    def is_over(self) -> bool:
        """Whether the shift has ended."""
        return self.stand.floor.site.env.now >= self.case.ends_min

    @property
    def is_fresh(self) -> bool:
        """Whether the line has not been run yet."""
        return all(entry["do"] != "run" for entry in self.history)

    @property
    def bound(self) -> list[Bound]:
        """Orders so far, each at the place where it takes hold; those not yet in force left out."""
        return list(self.stand.hand.bound)

    def view(self) -> dict[str, Any]:
        """What the trainee sees, as plain values."""
        return view_of(self)

    def choices(self) -> list[dict[str, Any]]:
        """What the trainee can decide now, as plain values; each with the entries of the order that it makes."""
        return choices_of(self)

    def ledger(self) -> tuple[float, dict[str, float]]:
        """The ledger as the office has it: up to which minute, and money by item; quality loss is not in it yet."""
        upto = _LEDGER_EVERY_MIN * (self.minute // _LEDGER_EVERY_MIN)
        if upto != self._ledger[0]:
            so_far = carry_out(self.case, self.bound, self.case.starts_min + upto)
            items = {item: money for item, money in so_far.items.items() if item not in _UNSEEN}
            self._ledger = (upto, items)
        return self._ledger

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

    def carried(self) -> Carried:
        """What the shift has come to.

        Raises
        ------
        TrainingError
            It is not over.
        """
        if not self.is_over:
            raise TrainingError(f"the shift is not over: {self.case.plan.length_min - self.minute:.0f} min are left")
        if self._carried is None:
            self._carried = carried_by(self.stand)
        return self._carried

    def decisions(self) -> dict[int, dict[str, Any]]:
        """The trainee's decisions by their numbers, without the running of the line."""
        entries = [entry for entry in self.history if entry["do"] not in ("run", "set up")]
        return dict(enumerate(entries))

    def _run(self, order: kinds.Run) -> None:
        """Let the line run until it is told to stop, or something has to be decided."""
        hand = self.stand.hand
        hand.parts_to_go.clear()
        if order.parts is not None:
            names = [order.machine] if order.machine else [self.lesson.in_hand[-1]]
            hand.parts_to_go.update((machine, order.parts) for name in names for machine in hand.places.machines(name))
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
            places = self.case.places
            machines = places.machines(order.machine)
            if not set(machines) & set(question.waiting):
                names = ", ".join(f'"{places.machine_name(machine)}"' for machine in question.waiting)
                raise TrainingError(f'"{order.machine}" does not wait for a setter; there wait {names}')
        self.stand.hand.said[question.at] = Bound(question.at, order, self._next_number())

    def _order(self, order: Any) -> None:
        """Take down an order for the floor: at once before the first step, else for the machine's next part."""
        targets = _targets(self.case, order)
        number, hand = self._next_number(), self.stand.hand
        for machine, single in targets:
            if isinstance(single, kinds.First):
                pool = self.case.places.pool(single.people)
                at: Place = START if self.is_fresh else ("first", pool, self.stand.floor.site.pools[pool].jobs)
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
    places = case.places
    if isinstance(order, kinds.First):
        places.pool(order.people)
        for name in order.machines:
            places.machines(name)
        return [(-1, order)]
    if isinstance(order, kinds.GaugeNow | kinds.GaugeEvery | kinds.Correct):
        return [(places.gauge(order.gauge)[1][0], order)]
    singles = []
    for machine in places.machines(order.machine):
        if isinstance(order, kinds.Offset):
            places.cut(machine, order.cut)
        elif isinstance(order, kinds.Chips):
            if machine not in places.with_chips():
                raise TrainingError(f'no chips are reckoned with at "{places.machine_name(machine)}"')
        elif order.machine != kinds.ALL:
            places.mounts(machine, order.set)
        elif (order.set == kinds.ALL and not places.mounts_of(machine)) or (
            order.set != kinds.ALL
            and order.set not in [places.mount_names[mount] for mount in places.mounts_of(machine)]
        ):
            continue
        singles.append((machine, order.model_copy(update={"machine": places.machine_name(machine)})))
    if not singles:
        named = "" if order.set == kinds.ALL else f' "{order.set}"'
        raise TrainingError(f"no machine in your hands has a cutter set{named}")
    return singles


def filled(choice: Mapping[str, Any], values: Mapping[str, float]) -> dict[str, Any]:
    """The order that a choice makes with its fields filled in.

    >>> filled({"order": {"do": "rule", "rule": {"parts": None}}, "fields": []}, {"parts": 20.0})
    {'do': 'rule', 'rule': {'parts': 20}}
    """
    order = dict(choice["order"])
    whole = {name: int(value) if float(value).is_integer() else value for name, value in values.items()}
    return order | {"rule": whole} if isinstance(order.get("rule"), dict) else order | whole


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
