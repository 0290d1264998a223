"""Sheets as they were read, and where a cell of one stands."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import date, datetime, time, timedelta
from typing import Any

from linesim.errors import Cell, Problem
from linesim.works.nodes import UNREADABLE, Node, has_room

__all__ = ["Raw", "Sheet", "Spot", "column_letters", "is_empty", "refuse"]

Raw = str | int | float | bool | date | datetime | time | timedelta | None
"""What a reader of workbooks gives for a cell."""

_MOST_COLUMNS = 16_384
_MOST_ROWS = 2_000_000


def column_letters(at: int) -> str:
    """Return the letters of a column, counted from 0.

    >>> column_letters(0), column_letters(25), column_letters(26), column_letters(16383)
    ('A', 'Z', 'AA', 'XFD')
    """
    letters, left = "", at + 1
    while left:
        left, rest = divmod(left - 1, 26)
        letters = chr(65 + rest) + letters
    return letters


def is_empty(raw: Raw) -> bool:
    """Whether nothing stands in a cell."""
    return raw is None or (isinstance(raw, str) and not raw.strip())


@dataclass
class Spot:
    """Where a cell stands, and where what is wrong with it goes.

    Parameters
    ----------
    file : str
        Name of the workbook.
    cell : Cell
        Its name.
    problems : list of Problem
        Takes what is wrong.
    """

    file: str
    cell: Cell
    problems: list[Problem]

    def node(self, value: Any) -> Node:
        """Return a value that stands here."""
        return Node(value, self.file, self.cell)


def refuse(spot: Spot, text: str, hint: str = "") -> Node:
    """Write down what is wrong with a cell, and return a node that says so.

    Parameters
    ----------
    spot : Spot
        The cell.
    text, hint : str
        As in `Problem`.
    """
    if has_room(spot.problems):
        spot.problems.append(Problem(spot.file, spot.cell, "", text, hint))
    return spot.node(UNREADABLE)


@dataclass
class Sheet:
    """One sheet.

    Parameters
    ----------
    title : str
        Its name.
    number : int
        Which one of the workbook.
    grid : sequence of rows
        Cells from the first one on.
    file : str
        Name of the workbook.
    problems : list of Problem
        Takes what is wrong with it.
    """

    title: str
    number: int
    grid: Sequence[Sequence[Raw]]
    file: str
    problems: list[Problem]

    def spot(self, row: int, column: int) -> Spot:
        """Return where a cell stands, counted from 0."""
        order = (self.number * _MOST_ROWS + row) * _MOST_COLUMNS + column + 1
        return Spot(self.file, Cell(self.title, f"{column_letters(column)}{row + 1}", order), self.problems)

    def raw(self, row: int, column: int | None) -> Raw:
        """Return what stands in a cell; nothing beyond the end of the row, or where there is no such column."""
        cells = self.grid[row]
        return cells[column] if column is not None and column < len(cells) else None

    def text(self, row: int, column: int) -> str:
        """Return the text in a cell, or nothing."""
        raw = self.raw(row, column)
        return "" if raw is None else str(raw).strip()

    def rows(self) -> Iterator[int]:
        """Yield the numbers of the rows in which anything stands."""
        return (number for number, row in enumerate(self.grid) if not all(map(is_empty, row)))

    def is_empty(self, row: int, column: int) -> bool:
        """Whether nothing stands in a cell."""
        return is_empty(self.raw(row, column))

    def refuse(self, row: int, column: int, text: str, hint: str = "") -> None:
        """Write down what is wrong with a cell."""
        refuse(self.spot(row, column), text, hint)
