"""A picture with its words and the table behind it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from functools import cached_property

import pandas as pd
import plotly.graph_objects as go

from linesim.manual.words import meanings
from linesim.report.theme.csv_text import as_csv
from linesim.report.theme.markup import Cell, table, words_folded
from linesim.words import ENGLISH, reader, say

__all__ = ["Picture", "Sheet"]

_MOST_ROWS = 400


@dataclass(frozen=True)
class Sheet:
    """A table for people, and the same for a file.

    Attributes
    ----------
    caption : str
        What it shows, with units.
    heads : tuple of Cell
        Column heads; ``numbers(...)`` for columns of figures.
    rows : list of list of Cell
        As shown.
    frame : DataFrame
        With all digits, for a file; the model's own units in its column names.
    foot : tuple of Cell
        A row of sums; none if empty.
    """

    caption: str
    heads: Sequence[Cell]
    rows: Sequence[Sequence[Cell]]
    frame: pd.DataFrame
    foot: Sequence[Cell] = field(default=())

    @cached_property
    def html(self) -> str:
        """As HTML with everything escaped; very long ones are cut, and say so."""
        left = len(self.rows) - _MOST_ROWS
        more = say("frame.first_rows", most=_MOST_ROWS, left=left) if left > 0 else ""
        return table(f"{self.caption} {more}".rstrip(), self.heads, self.rows[:_MOST_ROWS], self.foot)

    @property
    def words(self) -> str:
        """The words of the trade that head columns and rows, folded away, each with its sentence; empty if none do.

        The sentences are the manual's and English: whoever reads other words is not shown them.
        """
        if reader() is not ENGLISH:
            return ""
        cells = [*self.heads, *(row[0] for row in self.rows[:_MOST_ROWS])]
        return words_folded(meanings(cell if isinstance(cell, str) else cell[0] for cell in cells))

    @property
    def csv(self) -> str:
        """As CSV, safe to open in a spreadsheet."""
        return as_csv(self.frame)


@dataclass(frozen=True)
class Picture:
    """A figure that never stands alone.

    Attributes
    ----------
    figure : plotly Figure
        To be shown.
    words : str
        What it shows, for those who do not see it.
    sheet : Sheet
        The table behind it.
    """

    figure: go.Figure
    words: str
    sheet: Sheet
