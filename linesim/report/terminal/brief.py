"""The manager's brief for the terminal."""

from __future__ import annotations

from collections.abc import Sequence

from rich.console import Group, RenderableType
from rich.padding import Padding
from rich.text import Text

from linesim.report.theme.grid import plain
from linesim.study.advice.brief import Brief
from linesim.study.advice.words import proposal_words
from linesim.words import retell, say

__all__ = ["brief_text"]


def brief_text(brief: Brief) -> Group:
    """The brief laid out for a terminal of 100 columns.

    Parameters
    ----------
    brief : Brief
        What to show.

    Returns
    -------
    rich.console.Group
    """
    head = Text.assemble((plain(brief.advice.works.name), "bold"))
    for sentence in brief.sentences:
        head.append(f"\n{plain(retell(sentence))}")
    parts: list[RenderableType] = [head]
    parts += _listed(say("brief.change"), [proposal_words(each) for each in brief.advice.actions])
    parts += _listed(say("brief.costs"), brief.costs)
    parts += _listed(say("brief.wrong"), brief.doubts)
    parts += _listed(say("brief.first_week" if brief.chosen is not None else "brief.now"), brief.steps)
    parts.append(Text(say("brief.to_print"), style="dim"))
    return Group(*(Padding(part, (0, 0, 1, 0)) for part in parts))


def _listed(title: str, texts: Sequence[str]) -> list[RenderableType]:
    if not texts:
        return []
    return [Text.assemble((title, "bold"), *(f"\n- {plain(retell(text))}" for text in texts))]
