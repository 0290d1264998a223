"""A class at a glance: trainees by lessons, with the last outcome of each."""

from __future__ import annotations

from collections.abc import Sequence

import pandas as pd

from linesim.report.theme.markup import Cell
from linesim.report.theme.picture import Sheet
from linesim.report.theme.shown import number
from linesim.store.progress import Attempt

__all__ = ["class_sheet"]

_NOT_YET = "\N{EN DASH}"


def class_sheet(attempts: Sequence[Attempt]) -> Sheet:
    """Trainees down, lessons across, and in each cell the outcome of the last shift.

    Parameters
    ----------
    attempts : sequence of Attempt
        In the order in which they were played.

    Returns
    -------
    Sheet
    """
    names = sorted({each.nickname for each in attempts})
    lessons = sorted({each.lesson for each in attempts})
    last = {(each.nickname, each.lesson): each for each in attempts}
    played = pd.Series([(each.nickname, each.lesson) for each in attempts]).value_counts().to_dict()
    rows: list[list[Cell]] = [
        [name, *(_outcome(last.get((name, lesson)), int(played.get((name, lesson), 0))) for lesson in lessons)]
        for name in names
    ]
    plain = {lesson: [_word(last.get((name, lesson))) for name in names] for lesson in lessons}
    caption = "The class: the outcome of the last shift of each lesson, and its share of the best policy known"
    return Sheet(caption, ["trainee", *lessons], rows, pd.DataFrame({"trainee": names, **plain}))


def _word(attempt: Attempt | None) -> str:
    return "" if attempt is None else "passed" if attempt.is_passed else "not passed"


def _outcome(attempt: Attempt | None, shifts: int) -> Cell:
    """What a cell says."""
    if attempt is None:
        return _NOT_YET
    share = "" if attempt.share_of_best is None else f", {number(100.0 * attempt.share_of_best, 0)} %"
    several = f" ({shifts} shifts)" if shifts > 1 else ""
    text = f"{_word(attempt)}{share}{several}"
    return (text, "mark") if attempt.is_passed else text
