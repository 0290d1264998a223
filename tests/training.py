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

__all__ = ["FILES", "LESSONS", "a_lesson", "lesson", "same_tally"]

LESSONS = Path(__file__).parents[1] / "scenarios" / "lessons"
FILES = sorted(LESSONS.glob("*.yaml"))


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


def same_tally(one: Tally, other: Tally) -> list[str]:
    """Names of the sums in which two tallies differ by as much as a bit."""
    return [
        entry.name
        for entry in dataclasses.fields(Tally)
        if not np.array_equal(getattr(one, entry.name), getattr(other, entry.name))
    ]
