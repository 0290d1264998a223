"""What is decided under what is not known, for the terminal."""

from __future__ import annotations

from rich.console import Group, RenderableType
from rich.padding import Padding
from rich.text import Text

from linesim.report.theme.grid import Column, grid, number_columns, plain
from linesim.report.theme.shown import interval
from linesim.study.doubt.answer import CLEAR, Regret
from linesim.words import localised, retell, say

__all__ = ["BASIS", "loss_rows", "regret_text", "step_rows", "worth_rows"]

BASIS = "regret.basis"
"""What it rests on, by the key of its words."""


def regret_text(answer: Regret) -> Group:
    """The answer, laid out for a terminal of 100 columns.

    Parameters
    ----------
    answer : Regret
        What to show.
    """
    lines = [plain(sentence) for sentence in answer.sentences]
    head = Text.assemble((plain(answer.works.name), "bold"), *(f"\n{line}" for line in lines))
    parts: list[RenderableType] = [head, _steps(answer)]
    parts += [_losses(answer), _worths(answer), Text(say(BASIS), style="dim")]
    return Group(*(Padding(part, (0, 0, 1, 0)) for part in parts))


def step_rows(answer: Regret) -> list[list[str]]:
    """All lives at each factor: times, ahead by, the rival, right or wrong."""
    return [
        [localised(f"{each.factor:g}"), interval(each.gap.mean, each.gap.half_width), retell(each.rival),
         say("regret.right_word" if each.is_right else "regret.wrong_word")]
        for each in answer.steps
    ]  # fmt: skip


def loss_rows(answer: Regret) -> list[list[str]]:
    """Policies: what each loses over all draws, and what it brings."""
    return [
        [retell(each.name), interval(each.loses.mean, each.loses.half_width),
         interval(each.brings.mean, each.brings.half_width)]
        for each in answer.losses
    ]  # fmt: skip


def worth_rows(answer: Regret) -> list[list[str]]:
    """Lives: known within, worth knowing, and a sign where that is not told from nothing."""
    return [
        [
            retell(each.of),
            localised(f"{each.within:.3g}"),
            localised(f"{each.value:.3g}"),
            "" if each.p_value < CLEAR else "~",
        ]
        for each in answer.worths
    ]


def _steps(answer: Regret) -> RenderableType:
    """All lives at once."""
    columns = [
        *number_columns("lives times", "ahead by"),
        Column("of the best other one", True, 40),
        Column("", True, 12),
    ]
    title = f'"{plain(answer.chosen)}" where all lives are other than assumed ({answer.unit})'
    return grid(title, columns, _plain_rows(step_rows(answer)))


def _losses(answer: Regret) -> RenderableType:
    """What each loses over all draws."""
    columns = [Column("policy", True, 52), *number_columns("loses", "brings")]
    title = f"Over {answer.draws} draws of all lives, the least loss first ({answer.unit})"
    return grid(title, columns, _plain_rows(loss_rows(answer)))


def _worths(answer: Regret) -> RenderableType:
    """What knowing each life is worth."""
    columns = [Column("life", True, 44), *number_columns("known within", "worth knowing"), Column("")]
    title = f"What to measure first ({answer.unit}, at the most; ~ not told from nothing)"
    return grid(title, columns, _plain_rows(worth_rows(answer)))


def _plain_rows(rows: list[list[str]]) -> list[list[str]]:
    """Without signs that a terminal would obey."""
    return [[plain(cell) for cell in row] for row in rows]
