"""Tool-change cards for the terminal."""

from __future__ import annotations

from collections.abc import Iterator

from rich.console import Group
from rich.padding import Padding
from rich.text import Text

from linesim.cards import CardsOf, ToolCard
from linesim.report.theme.grid import Column, grid
from linesim.report.theme.shown import UNKNOWN, number

__all__ = ["cards_text"]


def cards_text(cards: CardsOf) -> Group:
    """All cards in short: when each set is changed, and how many sharp sets are needed.

    Parameters
    ----------
    cards : CardsOf
        What stands on them.

    Returns
    -------
    rich.console.Group
    """
    head = f'{cards.works}: tool-change cards of policy "{cards.policy}"'
    head += f', in place of "{cards.previous}"' if cards.previous else ""
    columns = [Column("cutter set", True, 20), Column("changed", True, 26), Column("parts")]
    columns += [Column("until now", True, 18)] if cards.previous else []
    columns += [Column("changes a shift"), Column("sets at hand"), Column("card", True, 9)]
    rows = [row for card in cards.cards for row in _rows(card)]
    last = Text("The cards themselves: --html FILE, or --pdf FILE; one sheet of paper each.", style="dim")
    return Group(*(Padding(part, (0, 0, 1, 0)) for part in (grid(head, columns, rows), last)))


def _rows(card: ToolCard) -> Iterator[list[str]]:
    """The sets of one card under its heading."""
    yield [card.operation]
    for each in card.sets:
        until_now = [each.before or "the same"] if card.previous else []
        count = UNKNOWN if each.count is None else f"{'~' if each.is_about else ''}{each.count}"
        yield [each.cutter, each.when, count, *until_now, number(each.changes, 1), str(each.at_hand), card.number]
