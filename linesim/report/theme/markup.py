"""Pieces of HTML in which every text is escaped."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from html import escape

__all__ = ["Cell", "bullets", "element", "numbers", "table"]

Cell = str | tuple[str, str]
"""A text, or a text with the name of its class."""


def element(name: str, text: str, kind: str = "") -> str:
    """An element around an escaped text.

    >>> element("p", "a < b", "note")
    '<p class="note">a &lt; b</p>'
    """
    attribute = f' class="{escape(kind)}"' if kind else ""
    return f"<{name}{attribute}>{escape(text)}</{name}>"


def bullets(texts: Iterable[str], kind: str = "") -> str:
    """A list of escaped texts; nothing if there are none."""
    items = "".join(element("li", text) for text in texts)
    attribute = f' class="{escape(kind)}"' if kind else ""
    return f"<ul{attribute}>{items}</ul>" if items else ""


def numbers(*texts: str) -> list[Cell]:
    """Cells that hold figures."""
    return [(text, "n") for text in texts]


def table(caption: str, heads: Sequence[Cell], rows: Iterable[Sequence[Cell]], foot: Sequence[Cell] = ()) -> str:
    """A table whose first column names the rows.

    Parameters
    ----------
    caption : str
        What it shows; stands over it.
    heads : sequence of cells
        One per column.
    rows : iterable of sequences of cells
        The first cell of each is its heading.
    foot : sequence of cells
        A row of sums; none if empty.

    Returns
    -------
    str
        Everything escaped; it scrolls by itself where the page is too narrow.
    """
    head = "".join(_cell(cell, "th", 'scope="col"') for cell in heads)
    body = "".join(_row(row) for row in rows)
    sums = f"<tfoot>{_row(foot)}</tfoot>" if foot else ""
    inner = f"{element('caption', caption)}<thead><tr>{head}</tr></thead><tbody>{body}</tbody>{sums}"
    return f'<div class="wide"><table>{inner}</table></div>'


def _row(cells: Sequence[Cell]) -> str:
    first, *rest = cells
    inner = _cell(first, "th", 'scope="row"') + "".join(_cell(cell, "td") for cell in rest)
    return f"<tr>{inner}</tr>"


def _cell(cell: Cell, name: str, more: str = "") -> str:
    text, kind = cell if isinstance(cell, tuple) else (cell, "")
    attributes = " ".join(part for part in (more, f'class="{escape(kind)}"' if kind else "") if part)
    value, sign, width = escape(text).partition("± ")
    # The half width goes under its figure, so that columns stay narrow and figures stand in line.
    inner = f'{value}<span class="width">{sign}{width}</span>' if sign else value
    return f"<{name}{' ' + attributes if attributes else ''}>{inner}</{name}>"
