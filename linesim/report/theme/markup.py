"""Pieces of HTML in which every text is escaped; see ``templates/pieces.html``."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from typing import NamedTuple

from linesim.report.theme.render import call
from linesim.words import retell

__all__ = ["Cell", "ShownCell", "bullets", "cells_shown", "element", "numbers", "table", "words_folded"]

Cell = str | tuple[str, str]
"""A text, or a text with the name of its class."""


class ShownCell(NamedTuple):
    """A cell as the template writes it: the half width stands apart from its figure."""

    value: str
    width: str
    kind: str


def element(name: str, text: str, kind: str = "") -> str:
    """An element around an escaped text.

    >>> element("p", "a < b", "note")
    '<p class="note">a &lt; b</p>'
    """
    return call("element", name, text, kind)


def bullets(texts: Iterable[str], kind: str = "") -> str:
    """A list of escaped texts; nothing if there are none."""
    return call("bullets", tuple(texts), kind)


def numbers(*texts: str) -> list[Cell]:
    """Cells that hold figures."""
    return [(text, "n") for text in texts]


def cells_shown(cells: Sequence[Cell]) -> list[ShownCell]:
    """Cells ready for the template.

    >>> cells_shown([("3.8 ± 0.1", "n")])
    [ShownCell(value='3.8 ', width='± 0.1', kind='n')]
    """
    return [_shown(*cell) if isinstance(cell, tuple) else _shown(cell, "") for cell in cells]


def _shown(text: str, kind: str) -> ShownCell:
    value, sign, width = retell(text).partition("± ")
    return ShownCell(value, sign + width, kind)


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
    return call("table", caption, cells_shown(heads), list(map(cells_shown, rows)), cells_shown(foot))


def words_folded(sentences: Mapping[str, str]) -> str:
    """Words of the trade, folded away, each with its sentence; nothing if there are none.

    >>> words_folded({"load": "Share of <time>."}).splitlines()[1]
    '<dl><div><dt>load</dt><dd>Share of &lt;time&gt;.</dd></div></dl>'
    """
    return call("words", sentences).strip()
