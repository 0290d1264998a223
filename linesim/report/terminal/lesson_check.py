"""The check of a lesson for the terminal."""

from __future__ import annotations

import statistics

from rich.console import Group, RenderableType
from rich.padding import Padding
from rich.text import Text

from linesim.report.terminal.lesson import wrapped
from linesim.report.theme.grid import Column, grid, number_columns, plain
from linesim.report.theme.shown import number
from linesim.training.checking import LessonCheck

__all__ = ["check_text"]


def check_text(answer: LessonCheck) -> Group:
    """What came of a lesson's stated policies."""
    columns = [Column("policy", True, 24), *number_columns("passes", "decided", "of", "least", "middle", "most")]
    rows = [
        [
            policy,
            str(answer.passes[policy]),
            str(answer.decided[policy]),
            str(answer.shifts),
            *(number(value, 2) for value in (min(shares), statistics.median(shares), max(shares))),
        ]
        for policy, shares in answer.shares.items()
    ]
    verdict = (
        "Sound"
        if answer.is_sound
        else "NOT SOUND: the good and the best policy pass, the bad one fails, on every shift"
    )
    table = grid(f"{answer.lesson}: earned over what the best found policy earned", columns, rows)
    answers = [f"{wrapped(ask, '   ', 'Q: ')}\n{wrapped(worked, '   ', 'A: ')}" for ask, worked in answer.answers]
    parts: list[RenderableType] = [Text(f"{plain(answer.name)}. {verdict}.", style="bold"), table, *map(Text, answers)]
    return Group(*(Padding(part, (0, 0, 1, 0)) for part in parts))
