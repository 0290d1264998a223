"""What is decided under what is not known, for the terminal."""

from __future__ import annotations

from rich.console import Group, RenderableType
from rich.padding import Padding
from rich.text import Text

from linesim.report.theme.grid import Column, grid, number_columns, plain
from linesim.report.theme.shown import interval
from linesim.study.doubt.answer import Regret

__all__ = ["regret_text"]

_BASIS = (
    "A policy is kept to in the minutes or parts that it says now, whatever the lives truly are; no interval goes past "
    "the wear limit of the assumed life. Lives are drawn within what the scenario says is known, else within a factor "
    "of two, as the handbook says of itself. Intervals of the first table hold all at once (Bonferroni)."
)


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
    parts += [_losses(answer), _worths(answer), Text(_BASIS, style="dim")]
    return Group(*(Padding(part, (0, 0, 1, 0)) for part in parts))


def _steps(answer: Regret) -> RenderableType:
    """All lives at once."""
    rows = [
        [f"{each.factor:g}", interval(each.gap.mean, each.gap.half_width), plain(each.rival), _right(each.is_right)]
        for each in answer.steps
    ]
    columns = [
        *number_columns("lives times", "ahead by"),
        Column("of the best other one", True, 40),
        Column("", True, 12),
    ]
    return grid(f'"{plain(answer.chosen)}" where all lives are other than assumed ({answer.unit})', columns, rows)


def _right(is_right: bool) -> str:
    """Whether it stays right."""
    return "right" if is_right else "wrong"


def _losses(answer: Regret) -> RenderableType:
    """What each loses over all draws."""
    rows = [
        [plain(each.name), interval(each.loses.mean, each.loses.half_width),
         interval(each.brings.mean, each.brings.half_width)]
        for each in answer.losses
    ]  # fmt: skip
    columns = [Column("policy", True, 52), *number_columns("loses", "brings")]
    return grid(f"Over {answer.draws} draws of all lives, the least loss first ({answer.unit})", columns, rows)


def _worths(answer: Regret) -> RenderableType:
    """What knowing each life is worth."""
    rows = [
        [plain(each.of), f"{each.within:.3g}", f"{each.value:.3g}", "" if each.p_value < 0.05 else "~"]
        for each in answer.worths
    ]
    columns = [Column("life", True, 44), *number_columns("known within", "worth knowing"), Column("")]
    return grid(f"What to measure first ({answer.unit}, at the most; ~ not told from nothing)", columns, rows)
