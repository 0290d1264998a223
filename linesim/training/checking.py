"""Whether a lesson teaches what it says: its good policy passes, its bad one fails, and its best is the best known."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Any

from linesim.training.lesson import Lesson
from linesim.training.policies import POLICIES, carry_policy, reached
from linesim.training.worked import worked_answer

__all__ = ["LessonCheck", "check_lesson"]


@dataclass(frozen=True)
class LessonCheck:
    """What came of a lesson's stated policies over some shifts.

    Attributes
    ----------
    passes : dict of str to int
        By policy: on how many of the shifts it reaches the pass mark.
    shares : dict of str to list of float
        By policy: what it earned over what the best found policy earned, shift by shift.
    answers : list of (str, str)
        Questions and worked answers, as they come out now.
    """

    lesson: str
    name: str
    shifts: int
    passes: dict[str, int]
    shares: dict[str, list[float]]
    answers: list[tuple[str, str]]

    @property
    def is_sound(self) -> bool:
        """The good and the best found policy pass on every shift, the bad one on none."""
        return self.passes["good"] == self.passes["best"] == self.shifts and self.passes["bad"] == 0

    def as_dict(self) -> dict[str, Any]:
        """As plain values for JSON."""
        return vars(self) | {"is_sound": self.is_sound}


def check_lesson(lesson: Lesson, numbers: Iterable[int]) -> LessonCheck:
    """Play shifts of a lesson by all its policies.

    Parameters
    ----------
    lesson : Lesson
        Checked already as a file.
    numbers : iterable of int
        Which shifts.
    """
    passes = dict.fromkeys(POLICIES, 0)
    shares: dict[str, list[float]] = {policy: [] for policy in POLICIES}
    count = 0
    for number in numbers:
        count += 1
        runs = {policy: carry_policy(lesson, number, policy).figures for policy in POLICIES}
        for policy, figures in runs.items():
            passes[policy] += all(mark[3] for mark in reached(lesson, figures, runs["best"]))
            earned = runs["best"]["earned"]
            shares[policy].append(figures["earned"] / earned if earned else 0.0)
    answers = [(question.ask, worked_answer(lesson, question)[1]) for question in lesson.file.questions]
    return LessonCheck(lesson.key, lesson.name, count, passes, shares, answers)
