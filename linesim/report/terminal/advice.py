"""What to change first, for the terminal."""

from __future__ import annotations

from rich.console import Group, RenderableType
from rich.padding import Padding
from rich.text import Text

from linesim.report.theme.grid import Column, grid, plain
from linesim.report.theme.shown import interval
from linesim.study.advice.advice import Advice
from linesim.study.advice.words import basis_words
from linesim.words import retell, say

__all__ = ["advice_text"]


def advice_text(answer: Advice) -> Group:
    """What to change first, laid out for a terminal of 100 columns.

    Parameters
    ----------
    answer : Advice
        What to show.

    Returns
    -------
    rich.console.Group
    """
    lines = [plain(retell(sentence)) for sentence in answer.sentences]
    head = Text.assemble((plain(answer.works.name), "bold"), *(f"\n{line}" for line in lines))
    parts: list[RenderableType] = [head, _table(answer), _basis(answer)]
    return Group(*(Padding(part, (0, 0, 1, 0)) for part in parts))


def _basis(answer: Advice) -> Text:
    return Text("\n".join(plain(retell(text)) for text in basis_words(answer)), style="dim")


def _table(answer: Advice) -> RenderableType:
    """All that was judged, the greatest gain first."""
    money = say("advice.head_money", currency=answer.works.currency)
    columns = [Column(say("brief.change_head"), True, 60), Column(money), Column("")]
    rows = [
        [plain(retell(each.label)), interval(each.gain.mean, each.gain.half_width), "" if each.is_significant else "~"]
        for each in answer.proposals
    ]
    return grid(say("advice.judged"), columns, rows)
