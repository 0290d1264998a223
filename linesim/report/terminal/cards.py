"""Tool-change cards for the terminal."""

from __future__ import annotations

from collections.abc import Iterator

from rich.console import Group
from rich.padding import Padding
from rich.text import Text

from linesim.cards import CardsOf, ToolCard
from linesim.report.theme.grid import Column, grid
from linesim.report.theme.shown import UNKNOWN, number
from linesim.words import retell, say

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
    key = "cards.list_before" if cards.previous else "cards.list"
    head = say(key, works=cards.works, policy=cards.policy, previous=cards.previous)
    columns = [_column("set", 20), _column("changed", 26), Column(say("cards.head_parts"))]
    columns += [_column("until_now", 18)] if cards.previous else []
    columns += [Column(say("cards.head_changes")), Column(say("cards.head_at_hand")), _column("card", 9)]
    rows = [row for card in cards.cards for row in _rows(card)]
    last = Text(say("cards.to_print"), style="dim")
    return Group(*(Padding(part, (0, 0, 1, 0)) for part in (grid(head, columns, rows), last)))


def _column(name: str, most: int) -> Column:
    """A column of texts by the end of its key."""
    return Column(say(f"cards.head_{name}"), True, most)


def _rows(card: ToolCard) -> Iterator[list[str]]:
    """The sets of one card under its heading."""
    yield [card.operation]
    for each in card.sets:
        until_now = [retell(each.before) or say("cards.the_same")] if card.previous else []
        count = UNKNOWN if each.count is None else f"{'~' if each.is_about else ''}{each.count}"
        yield [
            each.cutter,
            retell(each.when),
            count,
            *until_now,
            number(each.changes, 1),
            str(each.at_hand),
            card.number,
        ]
