"""Policies for a whole shift, set beside what a trainee did: run until it breaks, the plan's, the stated ones."""

from __future__ import annotations

from collections.abc import Mapping
from functools import lru_cache
from typing import Any

from linesim.errors import hint_at, quoted
from linesim.training.carrying import Carried, carry_out
from linesim.training.lesson import Lesson, Mark, Stated
from linesim.training.orders import TrainingError
from linesim.training.shift import Shift, policy_script
from linesim.training.signs import sign_of

__all__ = [
    "POLICIES",
    "SHIFTS_FOR_MEANS",
    "Reached",
    "carry_policy",
    "is_decided",
    "mean_figures",
    "outcome_of",
    "reached",
    "stated_policy",
]

POLICIES = ("run until it breaks", "the plan", "good", "bad", "best")
"""Policies that every lesson has."""

SHIFTS_FOR_MEANS = 8
"""Shifts over which a figure in a worked answer is the mean."""

Reached = tuple[Mark, float, float, bool]
"""A mark, what was reached, what was wanted, and whether it is passed."""


def stated_policy(lesson: Lesson, name: str) -> Stated:
    """A policy of a lesson by its name.

    Raises
    ------
    TrainingError
        There is no such policy.
    """
    directory = lesson.case(1).directory
    has_sets = any(directory.mounts_of(machine) for machine in directory.in_hand)
    rules: list[dict[str, Any]] = [{"do": "rule", "machine": "all", "rule": "run out"}] if has_sets else []
    known = {
        "run until it breaks": Stated(about="Nothing is changed before it breaks or fails a part.", orders=rules),
        "the plan": Stated(about="The plan's intervals, and nothing else."),
        "good": lesson.file.good,
        "bad": lesson.file.bad,
        "best": lesson.file.best,
    }
    if name not in known:
        text = f"there is no policy {quoted(name)}; there are {', '.join(map(quoted, known))}"
        raise TrainingError(f"{text}. {hint_at(name, known)}".rstrip(". "))
    return known[name]


def carry_policy(lesson: Lesson, number: int, policy: str | Stated) -> Carried:
    """Carry one shift out under a policy: the same castings, edges and breakdowns as a trainee meets in it."""
    stated = stated_policy(lesson, policy) if isinstance(policy, str) else policy
    case = lesson.case(number, stated.way)
    return carry_out(case, policy_script(case, stated.orders))


@lru_cache(maxsize=256)
def mean_figures(lesson: Lesson, policy: str) -> Mapping[str, float]:
    """Mean figures of the first shifts of a lesson under a policy."""
    runs = [carry_policy(lesson, number, policy).figures for number in range(1, SHIFTS_FOR_MEANS + 1)]
    return {name: sum(run[name] for run in runs) / len(runs) for name in runs[0]}


def reached(lesson: Lesson, own: Carried, best: Carried) -> list[Reached]:
    """Set a shift against the pass mark, the signs of the lesson's own decision first.

    Parameters
    ----------
    lesson : Lesson
        Whose mark.
    own, best : Carried
        The shift, and the same shift under the best found policy.
    """
    marks = []
    for mark in lesson.file.pass_mark.marks:
        value = _figure(own, mark)
        if mark.at_most is not None:
            marks.append((mark, value, mark.at_most, value <= mark.at_most))
            continue
        wanted = mark.at_least if mark.at_least is not None else float(mark.share_of_best or 0.0) * _figure(best, mark)
        marks.append((mark, value, wanted, value >= wanted))
    return marks


def _figure(carried: Carried, mark: Mark) -> float:
    """What a shift came to in the figure of a mark."""
    return sign_of(carried, mark.figure, mark.of) if mark.is_sign else carried.figures[mark.figure]


def is_decided(lesson: Lesson, marks: list[Reached]) -> bool:
    """Whether the lesson's own decision was taken, by what `reached` gives; true where the lesson names none."""
    decision = lesson.file.pass_mark.decision
    return all(mark[3] for mark in marks[: len(decision.shown_by) if decision is not None else 0])


def outcome_of(shift: Shift) -> dict[str, Any]:
    """What a trainee's progress keeps of a shift that is over.

    Returns
    -------
    dict
        shift (its number), is_passed, earned (money), share_of_best (None where the best earned nothing), decisions
        and steps_back.

    Raises
    ------
    TrainingError
        The shift is not over.
    """
    carried, best_run = shift.carried(), carry_policy(shift.lesson, shift.number, "best")
    own, best = carried.figures, best_run.figures
    return {
        "shift": shift.number,
        "is_passed": all(mark[3] for mark in reached(shift.lesson, carried, best_run)),
        "earned": own["earned"],
        "share_of_best": own["earned"] / best["earned"] if best["earned"] > 0.0 else None,
        "decisions": len(shift.decisions()),
        "steps_back": shift.steps_back,
    }
