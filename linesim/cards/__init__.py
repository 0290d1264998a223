"""Tool-change cards: for each operation on one page what the setter does, and when, under a policy."""

from linesim.cards.making import tool_cards
from linesim.cards.records import CardSet, CardsOf, CounterStop, FirstPart, GaugeLine, Offset, ToolCard

__all__ = ["CardSet", "CardsOf", "CounterStop", "FirstPart", "GaugeLine", "Offset", "ToolCard", "tool_cards"]
