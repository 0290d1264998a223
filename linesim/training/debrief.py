"""What a shift earned and cost beside the same shift under other policies, and which decisions cost or saved most."""

from __future__ import annotations

import time
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

from linesim.study.interim import Interim, last_of
from linesim.training.binding import Bound
from linesim.training.carrying import Carried, Case, EdgeSeen, carry_out
from linesim.training.lesson import AS_PLANNED, Lesson
from linesim.training.orders import TrainingError, order_from
from linesim.training.policies import Reached, carry_policy, is_decided, reached
from linesim.training.shift import Shift, policy_script
from linesim.training.telling import best_in_words, decision_words, reason_words, same_matter, wish_words
from linesim.training.worked import worked_answer
from linesim.works import Works

__all__ = ["COMPARED", "Debrief", "Weighed", "look_back", "look_back_steps"]

COMPARED = ("run until it breaks", "the plan", "best")
"""Policies that a shift is set beside."""

MOST_WEIGHED = 60
"""Decisions that are weighed by doing the shift again without them; the ones after are not."""


@dataclass(frozen=True)
class Weighed:
    """One decision, and what the shift would have earned without it.

    Attributes
    ----------
    number : int
        Which decision, from 0.
    words : str
        The decision.
    worth : float, money
        What it earned: above 0 it paid, below 0 it cost.
    reason : str
        Where the money went, in a sentence.
    """

    number: int
    words: str
    worth: float
    reason: str


@dataclass(frozen=True)
class Debrief:
    """All that is to be learnt from one shift, as plain values.

    Attributes
    ----------
    works : Works
        The lesson's line.
    figures : dict of str to dict
        By "you" and each policy compared: the figures of `linesim.training.lesson.FIGURES`.
    items : dict of str to dict
        The same for the ledger's items, in money.
    marks : list of Reached
        The pass mark, signs of the lesson's own decision first: mark, reached, wanted, passed.
    is_passed : bool
        Whether all marks are reached.
    weighed : list of Weighed
        Decisions, those that cost or earned most first; each is weighed alone, so that they do not add up.
    not_weighed : int
        Decisions that were left out because there were too many.
    undone : list of Weighed
        What the best found policy orders and the trainee did not: what each by itself would have earned beside
        everything that he did.
    edges : list of EdgeSeen
        The true wear behind the readings.
    try_next : str
        One thing to try next.
    text : str
        What the lesson wants to be taken from it.
    answers : list of (str, str)
        Questions and worked answers.
    best_words : str
        What the best found policy does.
    decision : str
        The lesson's own decision in a sentence; empty where it names none.
    is_decided : bool
        Whether it was taken, by what the shift shows.
    """

    lesson: str
    works: Works
    number: int
    figures: dict[str, dict[str, float]]
    items: dict[str, dict[str, float]]
    marks: list[Reached]
    is_passed: bool
    weighed: list[Weighed]
    not_weighed: int
    undone: list[Weighed]
    edges: list[EdgeSeen]
    try_next: str
    text: str
    answers: list[tuple[str, str]]
    best_words: str
    decision: str = ""
    is_decided: bool = True

    @property
    def currency(self) -> str:
        """Of all money."""
        return self.works.currency

    def as_dict(self) -> dict[str, Any]:
        """As plain values for JSON."""
        plain = {
            name: getattr(self, name)
            for name in ("lesson", "currency", "number", "figures", "items", "is_passed", "decision", "is_decided")
        }
        marks = [
            {
                "figure": mark.words,
                "reached": value,
                "wanted": wanted,
                "is_most": mark.at_most is not None,
                "passed": ok,
            }
            for mark, value, wanted, ok in self.marks
        ]
        return plain | {
            "marks": marks,
            "weighed": [vars(entry) for entry in self.weighed],
            "not_weighed": self.not_weighed,
            "undone": [vars(entry) for entry in self.undone],
            "edges": [vars(edge) for edge in self.edges],
            "try_next": self.try_next,
            "text": self.text,
            "answers": [list(pair) for pair in self.answers],
            "best": self.best_words,
        }


def look_back(shift: Shift) -> Debrief:
    """Look back on a shift that is over.

    Parameters
    ----------
    shift : Shift
        Over.

    Raises
    ------
    TrainingError
        The shift is not over.
    """
    return last_of(look_back_steps(shift))


def look_back_steps(shift: Shift) -> Iterator[Interim[Debrief]]:
    """Look back on a shift as `look_back` does, and say how far it is on the way.

    Parameters
    ----------
    shift : Shift
        Over.

    Yields
    ------
    Interim
        One for each decision that has been weighed; only the last holds the debrief.

    Raises
    ------
    TrainingError
        The shift is not over.
    """
    begun_s = time.perf_counter()
    lesson, own = shift.lesson, shift.carried()
    decision = lesson.file.pass_mark.decision
    count = min(len(shift.decisions()), MOST_WEIGHED)
    runs = {"you": own} | {name: carry_policy(lesson, shift.number, name) for name in COMPARED}
    marks = reached(lesson, own, runs["best"])
    weighed = [_weigh_way(shift, own)] if shift.way != AS_PLANNED else []
    for done, entry in enumerate(_weigh(shift, own), start=1):
        weighed += [] if entry is None else [entry]
        yield Interim(done, count + 1, time.perf_counter() - begun_s, words="doing the shift again without a decision")
    weighed.sort(key=lambda entry: -abs(entry.worth))
    undone = _undone(shift, own)
    answer = Debrief(
        lesson=lesson.name,
        works=lesson.works,
        number=shift.number,
        figures={name: run.figures for name, run in runs.items()},
        items={name: run.items for name, run in runs.items()},
        marks=marks,
        is_passed=all(mark[3] for mark in marks),
        weighed=weighed,
        not_weighed=max(len(shift.decisions()) - MOST_WEIGHED, 0),
        undone=undone,
        edges=own.edges,
        try_next=_try_next(lesson, own, runs["best"], weighed, undone),
        text=lesson.file.debrief,
        answers=[(question.ask, worked_answer(lesson, question)[1]) for question in lesson.file.questions],
        best_words=best_in_words(lesson),
        decision=decision.about if decision is not None else "",
        is_decided=is_decided(lesson, marks),
    )
    yield Interim(count + 1, count + 1, time.perf_counter() - begun_s, answer, is_final=True)


def _weigh(shift: Shift, own: Carried) -> Iterator[Weighed | None]:
    """Do the shift again without each decision in turn; the same chance, so that the difference is the decision's."""
    decisions = shift.decisions()
    for number in list(decisions)[:MOST_WEIGHED]:
        if not any(bound.number == number for bound in own.bound):
            yield None  # it never took hold
            continue
        without = carry_out(shift.case, [bound for bound in own.bound if bound.number != number])
        yield _weighed(shift, number, decision_words(shift, number, decisions[number]), own, without)


def _undone(shift: Shift, own: Carried) -> list[Weighed]:
    """Do the shift again with each order of the best found policy added from the beginning."""
    lesson, best = shift.lesson, shift.lesson.file.best
    undone = []
    if best.way != shift.way:
        with_way = _again(lesson.case(shift.number, best.way), own.bound)
        about = lesson.file.ways[best.way].about if best.way != AS_PLANNED else lesson.works.about
        undone.append(_compared(shift, f'set the line up "{best.way}" ({about.rstrip(".")})', with_way, own))
    given = [order_from(entry).plain() for entry in shift.decisions().values()]
    for order in map(order_from, best.orders if best.way == shift.way else ()):
        if order.plain() in given:
            continue
        # The trainee's own orders come after it and so go over it, but for those on the same matter.
        others = [bound for bound in own.bound if not same_matter(bound.order, order)]
        again = carry_out(shift.case, [*policy_script(shift.case, [order.plain()]), *others])
        undone.append(_compared(shift, wish_words(order.plain()), again, own))
    return sorted(undone, key=lambda each: -each.worth)


def _compared(shift: Shift, words: str, other: Carried, own: Carried) -> Weighed:
    worth = other.figures["earned"] - own.figures["earned"]
    return Weighed(-1, words, worth, reason_words(shift.lesson.works.currency, other, own))


def _again(case: Case, bound: list[Bound]) -> Carried:
    """A shift of a line that is set up otherwise, with the same orders as far as they fit."""
    try:
        return carry_out(case, bound)
    except TrainingError:  # an order for a cut or a cutter that is not there
        return carry_out(case)


def _weigh_way(shift: Shift, own: Carried) -> Weighed:
    """The shift with the line set up as planned, and the same orders as far as they fit."""
    without = _again(shift.lesson.case(shift.number), own.bound)
    about = shift.lesson.file.ways[shift.way].about
    return _weighed(shift, -1, f'Set the line up: "{shift.way}" ({about.rstrip(".")})', own, without)


def _weighed(shift: Shift, number: int, words: str, own: Carried, without: Carried) -> Weighed:
    worth = own.figures["earned"] - without.figures["earned"]
    return Weighed(number, words, worth, reason_words(shift.lesson.works.currency, own, without))


def _try_next(lesson: Lesson, own: Carried, best: Carried, weighed: list[Weighed], undone: list[Weighed]) -> str:
    """One thing to try next: leave out what cost most, or do what would have earned most."""
    currency, matters = lesson.works.currency, 0.01 * abs(best.figures["earned"])
    cost = min(weighed, key=lambda entry: entry.worth, default=None)
    gain = max(undone, key=lambda entry: entry.worth, default=None)
    if cost is not None and cost.worth < -matters and (gain is None or -cost.worth > gain.worth):
        return f"the same shift without this: {cost.words}. It cost {-cost.worth:.0f} {currency}."
    if gain is not None and gain.worth > matters:
        return f"{gain.words}. By itself it would have earned {gain.worth:.0f} {currency}."
    if best.figures["earned"] - own.figures["earned"] > 2.0 * matters:
        return lesson.file.try_next
    return "another shift: this one is as good as the best found policy makes it. Another number, other castings."
