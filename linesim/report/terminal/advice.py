"""What to change first, for the terminal."""

from __future__ import annotations

from rich.console import Group, RenderableType
from rich.padding import Padding
from rich.text import Text

from linesim.report.theme.grid import Column, grid, plain
from linesim.report.theme.shown import interval
from linesim.study.advice.advice import Advice
from linesim.study.advice.words import basis_words

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
    lines = [plain(sentence) for sentence in answer.sentences]
    head = Text.assemble((plain(answer.works.name), "bold"), *(f"\n{line}" for line in lines))
    parts: list[RenderableType] = [head, _table(answer), Text("\n".join(map(plain, basis_words(answer))), style="dim")]
    return Group(*(Padding(part, (0, 0, 1, 0)) for part in parts))


def _table(answer: Advice) -> RenderableType:
    """All that was judged, the greatest gain first."""
    columns = [Column("change", True, 60), Column(f"{answer.works.currency} a month"), Column("")]
    rows = [
        [plain(each.label), interval(each.gain.mean, each.gain.half_width), "" if each.is_significant else "~"]
        for each in answer.proposals
    ]
    return grid("What was judged, against today's practice (~ not significant)", columns, rows)
