"""Tables for the terminal that stay readable at 100 columns: long names are cut, figures never."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import NamedTuple

from rich import box
from rich.cells import cell_len
from rich.table import Table
from rich.text import Text

__all__ = ["WIDTH", "Column", "chunks", "grid", "number_columns", "plain"]

WIDTH = 100
"""Columns for which the tables are laid out."""


_LEAST_TEXT = 6
_SPACES = "\N{NO-BREAK SPACE}\N{NARROW NO-BREAK SPACE}"
_STRANGE = "\N{REPLACEMENT CHARACTER}"
_GAP = 2


class Column(NamedTuple):
    """Head of a column, and how its cells stand."""

    head: str
    is_text: bool = False
    most: int | None = None
    """Greatest width of a text; longer ones are cut."""
    least: int = 1
    """Least width."""


def number_columns(*heads: str) -> list[Column]:
    """Columns of figures."""
    return [Column(head) for head in heads]


def plain(text: object) -> str:
    r"""A text of the scenario without signs that a terminal would obey.

    >>> plain("Op\x1b[31m 10")
    'Op�[31m 10'
    """
    return "".join(sign if sign.isprintable() or sign in _SPACES else _STRANGE for sign in str(text))


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
        Heads break between words only. Where it would be wider than `WIDTH`, the widest texts are cut; then columns
        stand closer.
    """
    body = [[_clean(cell) for cell in row] for row in rows]
    widths = _widths(columns, body, _GAP)
    is_close = sum(widths) + _GAP * (len(widths) - 1) > WIDTH
    widths = _widths(columns, body, 1) if is_close else widths
    table = Table(
        title=Text(plain(title), style="bold"),
        title_justify="left",
        box=box.SIMPLE_HEAD,
        padding=(0, 0 if is_close else 1, 0, 0),
        pad_edge=False,
        show_edge=False,
        header_style="bold",
    )
    for column, width in zip(columns, widths, strict=True):
        table.add_column(
            Text(plain(column.head)),
            justify="left" if column.is_text else "right",
            no_wrap=column.is_text,
            overflow="ellipsis" if column.is_text else "fold",
            width=width,
        )
    for row in body:
        table.add_row(*map(Text, row), style="bold" if len(row) == 1 and len(columns) > 1 else None)
    return table


def _clean(cell: str) -> str:
    """A cell of one or more lines, each without signs that a terminal would obey."""
    return "\n".join(plain(line) for line in cell.split("\n"))


def _widths(columns: Sequence[Column], rows: Sequence[Sequence[str]], gap: int) -> list[int]:
    """Widths of the columns: figures and words of heads stay whole, texts give way."""
    whole = [row for row in rows if len(row) == len(columns)]
    widths = []
    for at, column in enumerate(columns):
        head = [len(column.head)] if column.is_text else [len(word) for word in column.head.split()]
        cells = [cell_len(line) for row in whole for line in row[at].split("\n")]
        widths.append(min(max([column.least, *head, *cells]), column.most or WIDTH))
    texts = [at for at, column in enumerate(columns) if column.is_text]
    gaps = gap * (len(columns) - 1)
    while sum(widths) + gaps > WIDTH and max(widths[at] for at in texts) > _LEAST_TEXT:
        widths[max(texts, key=lambda at: widths[at])] -= 1
    return widths


def chunks(names: Sequence[str], size: int) -> list[Sequence[str]]:
    """Names in portions of at most so many, for tables with a column each.

    >>> chunks(["a", "b", "c"], 2)
    [['a', 'b'], ['c']]
    """
    return [names[first : first + size] for first in range(0, len(names), size)]
