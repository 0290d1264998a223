"""What a shift earned and cost beside the same shift under other policies, which decisions cost or saved most, and why."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from linesim.training.carrying import Carried, EdgeSeen, carry_out
from linesim.training.lesson import AS_PLANNED, Lesson
from linesim.training.orders import TrainingError
from linesim.training.policies import Reached, carry_policy, reached
from linesim.training.shift import Shift
from linesim.training.telling import best_in_words, decision_words, reason_words
from linesim.training.worked import worked_answer

__all__ = ["COMPARED", "Debrief", "Weighed", "debrief"]

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
    figures : dict of str to dict
        By "you" and each policy compared: the figures of `linesim.training.lesson.FIGURES`.
    items : dict of str to dict
        The same for the ledger's items, in money.
    marks : list of Reached
        The pass mark: mark, reached, wanted, passed.
    is_passed : bool
        Whether all marks are reached.
    weighed : list of Weighed
        Decisions, those that cost or earned most first; each is weighed alone, so that they do not add up.
    not_weighed : int
        Decisions that were left out because there were too many.
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
    """

    lesson: str
    currency: str
    number: int
    figures: dict[str, dict[str, float]]
    items: dict[str, dict[str, float]]
    marks: list[Reached]
    is_passed: bool
    weighed: list[Weighed]
    not_weighed: int
    edges: list[EdgeSeen]
    try_next: str
    text: str
    answers: list[tuple[str, str]]
    best_words: str

    def as_dict(self) -> dict[str, Any]:
        """As plain values for JSON."""
        plain = {
            name: getattr(self, name) for name in ("lesson", "currency", "number", "figures", "items", "is_passed")
        }
        marks = [
            {
                "figure": mark.figure,
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
            "edges": [vars(edge) for edge in self.edges],
            "try_next": self.try_next,
            "text": self.text,
            "answers": [list(pair) for pair in self.answers],
            "best": self.best_words,
        }


def debrief(shift: Shift) -> Debrief:
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
    lesson, own = shift.lesson, shift.carried()
    runs = {"you": own} | {name: carry_policy(lesson, shift.number, name) for name in COMPARED}
    marks = reached(lesson, own.figures, runs["best"].figures)
    weighed, left_out = _weigh(shift, own)
    return Debrief(
        lesson=lesson.name,
        currency=lesson.works.currency,
        number=shift.number,
        figures={name: run.figures for name, run in runs.items()},
        items={name: run.items for name, run in runs.items()},
        marks=marks,
        is_passed=all(mark[3] for mark in marks),
        weighed=weighed,
        not_weighed=left_out,
        edges=own.edges,
        try_next=_try_next(lesson, own, runs["best"], weighed),
        text=lesson.file.debrief,
        answers=[(question.ask, worked_answer(lesson, question)[1]) for question in lesson.file.questions],
        best_words=best_in_words(lesson),
    )


def _weigh(shift: Shift, own: Carried) -> tuple[list[Weighed], int]:
    """Do the shift again without each decision in turn; the same chance, so that the difference is the decision's."""
    decisions = shift.decisions()
    found = []
    if shift.way != AS_PLANNED:
        found.append(_weigh_way(shift, own))
    for number in list(decisions)[:MOST_WEIGHED]:
        if not any(bound.number == number for bound in own.bound):
            continue
        without = carry_out(shift.case, [bound for bound in own.bound if bound.number != number])
        found.append(_weighed(shift, number, decision_words(shift, decisions[number], own), own, without))
    found.sort(key=lambda entry: -abs(entry.worth))
    return found, max(len(decisions) - MOST_WEIGHED, 0)


def _weigh_way(shift: Shift, own: Carried) -> Weighed:
    """The shift with the line set up as planned, and the same orders as far as they fit."""
    planned = shift.lesson.case(shift.number)
    try:
        without = carry_out(planned, own.bound)
    except TrainingError:  # an order for a cut or a cutter that is not there as planned
        without = carry_out(planned)
    about = shift.lesson.file.ways[shift.way].about
    return _weighed(shift, -1, f'Set the line up: "{shift.way}" ({about.rstrip(".")})', own, without)


def _weighed(shift: Shift, number: int, words: str, own: Carried, without: Carried) -> Weighed:
    worth = own.figures["earned"] - without.figures["earned"]
    return Weighed(number, words, worth, reason_words(shift.lesson.works.currency, own, without))


def _try_next(lesson: Lesson, own: Carried, best: Carried, weighed: list[Weighed]) -> str:
    """One thing to try next."""
    currency = lesson.works.currency
    costly = min(weighed, key=lambda entry: entry.worth, default=None)
    short = best.figures["earned"] - own.figures["earned"]
    if costly is not None and costly.worth < -0.01 * abs(best.figures["earned"]):
        return f"Try the same shift without this: {costly.words}. It cost {-costly.worth:.0f} {currency}."
    if short > 0.02 * abs(best.figures["earned"]):
        return (
            f"{lesson.file.try_next} The best found policy earned {short:.0f} {currency} more: {best_in_words(lesson)}"
        )
    return "This is as good as the best found policy on this shift. Try another shift: another number, other castings."
