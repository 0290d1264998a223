"""Whether a lesson teaches what it says: its good policy passes, its bad one fails, and its best is the best known."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import Any

from linesim.training.lesson import Lesson, Mark, Stated
from linesim.training.policies import POLICIES, carry_policy, is_decided, reached
from linesim.training.worked import worked_answer

__all__ = ["LessonCheck", "Margin", "check_lesson", "margins"]


@dataclass(frozen=True)
class LessonCheck:
    """What came of a lesson's stated policies over some shifts.

    Attributes
    ----------
    passes : dict of str to int
        By policy: on how many of the shifts it reaches the pass mark.
    decided : dict of str to int
        By policy: on how many of them the lesson's own decision is taken.
    values : dict of str to list of list of float
        By policy: for each mark what was reached, shift by shift; as a share of the best where the mark is one.
    shares : dict of str to list of float
        By policy: what it earned over what the best found policy earned, shift by shift.
    answers : list of (str, str)
        Questions and worked answers, as they come out now.
    """

    lesson: str
    name: str
    shifts: int
    passes: dict[str, int]
    decided: dict[str, int]
    values: dict[str, list[list[float]]]
    shares: dict[str, list[float]]
    answers: list[tuple[str, str]]

    @property
    def is_sound(self) -> bool:
        """The good and the best found policy pass on every shift with the decision taken, the bad one on none."""
        always = (self.passes["good"], self.passes["best"], self.decided["good"], self.decided["best"])
        return all(count == self.shifts for count in always) and self.passes["bad"] == 0

    def as_dict(self) -> dict[str, Any]:
        """As plain values for JSON."""
        return vars(self) | {"is_sound": self.is_sound}


@dataclass(frozen=True)
class Margin:
    """Between what a mark lies: the worst of those that have to pass, the best of those that have to fail.

    Attributes
    ----------
    passing : float
        The worst that the good and the best found policy come to on any shift.
    failing : float
        The best that the bad policy comes to on any shift.
    """

    mark: Mark
    passing: float
    failing: float

    @property
    def parts_them(self) -> bool:
        """Whether the mark can tell them from one another by itself."""
        return self.passing < self.failing if self.mark.at_most is not None else self.passing > self.failing

    @property
    def middle(self) -> float:
        """Where the mark has the same room to both sides: the rule by which marks are set."""
        return 0.5 * (self.passing + self.failing)


def margins(lesson: Lesson, check: LessonCheck) -> list[Margin]:
    """Between what each mark of a lesson lies, by the shifts that a check has played."""
    answer = []
    for at, mark in enumerate(lesson.file.pass_mark.marks):
        worst, best = (max, min) if mark.at_most is not None else (min, max)
        passing = worst(value for name in ("good", "best") for value in check.values[name][at])
        answer.append(Margin(mark, passing, best(check.values["bad"][at])))
    return answer


def check_lesson(lesson: Lesson, numbers: Iterable[int], others: Mapping[str, Stated] | None = None) -> LessonCheck:
    """Play shifts of a lesson by all its policies.

    Parameters
    ----------
    lesson : Lesson
        Checked already as a file.
    numbers : iterable of int
        Which shifts.
    others : mapping of str to Stated, optional
        Further policies by name.
    """
    policies: dict[str, str | Stated] = {name: name for name in POLICIES} | dict(others or {})
    marks = lesson.file.pass_mark.marks
    passes, decided = dict.fromkeys(policies, 0), dict.fromkeys(policies, 0)
    values: dict[str, list[list[float]]] = {policy: [[] for _ in marks] for policy in policies}
    shares: dict[str, list[float]] = {policy: [] for policy in policies}
    count = 0
    for number in numbers:
        count += 1
        best = carry_policy(lesson, number, "best")
        for name, policy in policies.items():
            own = best if name == "best" else carry_policy(lesson, number, policy)
            outcome = reached(lesson, own, best)
            passes[name] += all(mark[3] for mark in outcome)
            decided[name] += is_decided(lesson, outcome)
            earned = best.figures["earned"]
            shares[name].append(own.figures["earned"] / earned if earned else 0.0)
            for at, (mark, value, wanted, _) in enumerate(outcome):
                values[name][at].append(value if mark.share_of_best is None else value * mark.share_of_best / wanted)
    answers = [(question.ask, worked_answer(lesson, question)[1]) for question in lesson.file.questions]
    return LessonCheck(lesson.key, lesson.name, count, passes, decided, values, shares, answers)
