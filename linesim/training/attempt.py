"""What is written down of a shift that is over."""

from __future__ import annotations

import datetime as dt

from linesim.store.progress import Attempt
from linesim.training.policies import outcome_of
from linesim.training.shift import Shift

__all__ = ["attempt_of"]


def attempt_of(shift: Shift, nickname: str) -> Attempt:
    """What is written down of a shift that is over.

    Parameters
    ----------
    shift : Shift
        Over.
    nickname : str
        Under which it was played.

    Raises
    ------
    TrainingError
        It is not over.
    """
    today = dt.date.today()  # noqa: DTZ011 - the trainee's own day
    return Attempt(nickname, shift.lesson.key, day=today, **outcome_of(shift))
