"""Training: lessons, a shift run by a person in steps over the floor, and what is learnt from it afterwards."""

from __future__ import annotations

from linesim.training.choices import filled
from linesim.training.debrief import Debrief, look_back
from linesim.training.lesson import Lesson
from linesim.training.orders import TrainingError
from linesim.training.policies import outcome_of
from linesim.training.reading import lesson_files, lesson_named, load_lesson
from linesim.training.shift import Shift

__all__ = [
    "Debrief",
    "Lesson",
    "Shift",
    "TrainingError",
    "filled",
    "lesson_files",
    "lesson_named",
    "load_lesson",
    "look_back",
    "outcome_of",
]
