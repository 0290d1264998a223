"""Tool-change cards: for each operation on one page what the setter does, and when, under a policy."""

from __future__ import annotations

from typing import TYPE_CHECKING

from linesim.fetching import offering

if TYPE_CHECKING:
    from linesim.cards.making import tool_cards as tool_cards
    from linesim.cards.records import CardSet as CardSet
    from linesim.cards.records import CardsOf as CardsOf
    from linesim.cards.records import CounterStop as CounterStop
    from linesim.cards.records import FirstPart as FirstPart
    from linesim.cards.records import GaugeLine as GaugeLine
    from linesim.cards.records import Offset as Offset
    from linesim.cards.records import ToolCard as ToolCard

__all__ = ["CardSet", "CardsOf", "CounterStop", "FirstPart", "GaugeLine", "Offset", "ToolCard", "tool_cards"]

_ROOMS = {
    "making": ("tool_cards",),
    "records": ("CardSet", "CardsOf", "CounterStop", "FirstPart", "GaugeLine", "Offset", "ToolCard"),
}
"""A comparison needs but the words of a rule."""

__getattr__, __dir__ = offering(__name__, _ROOMS)
