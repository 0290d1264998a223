"""Tables for the terminal that stay readable at 100 columns: long names are cut, figures never."""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from typing import NamedTuple

from rich import box
from rich.table import Table
from rich.text import Text

__all__ = ["WIDTH", "Column", "chunks", "figure", "grid", "number_columns", "plain"]

WIDTH = 100
"""Columns for which the tables are laid out."""


class Column(NamedTuple):
    """Head of a column, and how its cells stand."""

    head: str
    is_text: bool = False
    most: int | None = None
    """Greatest width of a text; longer ones are cut."""


def number_columns(*heads: str) -> list[Column]:
    """Columns of figures."""
    return [Column(head) for head in heads]


def plain(text: object) -> str:
    r"""A text of the scenario without signs that a terminal would obey.

    >>> plain("Op\x1b[31m 10")
    'Op�[31m 10'
    """
    return "".join(sign if sign.isprintable() else "\N{REPLACEMENT CHARACTER}" for sign in str(text))


def figure(value: float | None, decimals: int = 2) -> str:
    """A figure with so many places; nothing for what is not known.

    >>> figure(2.345, 1), figure(None), figure(float("nan")), figure(float("inf"))
    ('2.3', '-', '-', 'no end')
    """
    if value is None or math.isnan(value):
        return "-"
    return "no end" if math.isinf(value) else f"{value:.{decimals}f}"


def grid(title: str, columns: Sequence[Column], rows: Iterable[Sequence[str]]) -> Table:
    """A table with a title; texts to the left, figures to the right.

    Parameters
    ----------
    title : str
        Stands over it.
    columns : sequence of Column
        Heads.
    rows : iterable of sequences of str
        One text per column; a row of one text only is a heading between rows.

    Returns
    -------
    rich.table.Table
    """
    table = Table(
        title=Text(plain(title), style="bold"), title_justify="left", box=box.SIMPLE_HEAD, padding=(0, 1, 0,
        0), pad_edge=False, show_edge=False, header_style="bold",
    )  # fmt: skip
    for column in columns:
        table.add_column(
            Text(plain(column.head)), justify="left" if column.is_text else "right", vertical="top",
            no_wrap=column.is_text, overflow="ellipsis" if column.is_text else "fold", max_width=column.most,
        )  # fmt: skip
    for row in rows:
        cells = [Text("\n".join(plain(line) for line in cell.split("\n"))) for cell in row]
        table.add_row(*cells, style="bold" if len(cells) == 1 and len(columns) > 1 else None)
    return table


def chunks(names: Sequence[str], size: int) -> list[Sequence[str]]:
    """Names in portions of at most so many, for tables with a column each.

    >>> chunks(["a", "b", "c"], 2)
    [['a', 'b'], ['c']]
    """
    return [names[first : first + size] for first in range(0, len(names), size)]
