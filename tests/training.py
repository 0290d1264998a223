"""Lessons for the tests of training: the files themselves, and small ones that are written here."""

from __future__ import annotations

import dataclasses
from functools import cache
from pathlib import Path

import numpy as np
import yaml

from linesim.plan.tally import Tally
from linesim.training.lesson import Lesson
from linesim.training.reading import load_lesson
from tests.floors import PLAIN, a_blade, a_cut

__all__ = ["DRAWN_SEED", "FILES", "LESSONS", "a_lesson", "lesson", "one_mill", "same_tally"]

LESSONS = Path(__file__).parents[1] / "scenarios" / "lessons"
FILES = sorted(LESSONS.glob("*.yaml"))
DRAWN_SEED = 20
"""Of standing orders drawn blindly; chosen before any was seen."""


@cache
def lesson(key: str) -> Lesson:
    """The lesson whose file's name begins so."""
    (path,) = [path for path in FILES if path.stem.startswith(key)]
    return load_lesson(path)


def a_lesson(folder: Path, key: str = "01", **changes: object) -> Path:
    """A copy of a lesson's file with entries changed at the top; None takes one away."""
    (path,) = [path for path in FILES if path.stem.startswith(key)]
    content = yaml.safe_load(path.read_text(encoding="utf-8")) | changes
    kept = {name: value for name, value in content.items() if value is not None}
    copy = folder / path.name
    copy.write_text(yaml.safe_dump(kept, sort_keys=False, allow_unicode=True), encoding="utf-8")
    return copy


ONE_MILL = """
lesson: 1
name: One mill
learn: [what a change is worth]
situation: One machine and one mill.
task: Run the shift.
plan: the card
in_hand: [Op 10]
looks: {minutes: 1 min, error: 0 mm}
pass_mark: {why: It is as good as the plan, reach: [{figure: earned, at_least: 80}]}
hints: [Count.]
debrief: Count it.
try_next: Count again.
questions: [{ask: How many, answer: "1", worked: "{answer}"}]
cautions: [changing]
good: {about: the best, orders: [{do: rule, machine: Op 10, set: mill, rule: {parts: 7}}]}
bad: {about: the plan}
ways: {dear: {about: On the dear machine., changes: {lines: {line: {operations: {Op 10: {rate: 90}}}}}}}
best: {about: The mill comes out after 7 parts., orders: [{do: rule, machine: Op 10, set: mill, rule: {parts: 7}}]}
"""


def one_mill(folder: Path) -> Lesson:
    """A lesson whose shift can be worked out by hand.

    Every minute one part, of which the n-th of an edge is 3 (n - 1) µm out and so loses 0.1 (n - 1)² of the 10 that it
    is worth. An edge lasts ten parts; the plan changes it after five, which takes 2 minutes of the machine (60 an hour)
    and of a setter (30 an hour) and a new mill of 12. The trainee takes over 1.5 minutes after the start, with the
    second part of the first edge on the machine, for 21 minutes. Set up as "dear" the machine costs 90 an hour.
    """
    size = {"limits": [29.97, 30.03], "loss_at_limit": 10.0}
    cut = a_cut("mill", minutes=1.0)
    operation = {"strokes": {"face": {"cuts": {"face": cut}}}, "setters": "setters", "rate": 60.0}
    line = {
        "material": "EN-GJL-250",
        "worth": 10.0,
        "features": {"face": {"size": size, "as_cast": {"spread": 0.0}}},
        "operations": {"Op 10": operation},
    }
    scenario = {
        "name": "one mill",
        "currency": "EUR",
        "run": {"length": 21.0, "warm_up": 1.5},
        "handbook": PLAIN,
        "people": {"setters": {"count": 1, "rate": 30.0}},
        "cutters": {"mill": a_blade(life=10.0, price=12.0, change=2.0, sets=9)},
        "lines": {"line": line},
        "policies": {"the card": {"default": {"parts": 5}}},
    }
    path = folder / "one-mill.yaml"
    path.write_text(yaml.safe_dump(yaml.safe_load(ONE_MILL) | {"scenario": scenario}), encoding="utf-8")
    return load_lesson(path)


def same_tally(one: Tally, other: Tally) -> list[str]:
    """Names of the sums in which two tallies differ by as much as a bit."""
    return [
        entry.name
        for entry in dataclasses.fields(Tally)
        if not np.array_equal(getattr(one, entry.name), getattr(other, entry.name))
    ]
