"""The justification sheet as one HTML page that prints on one sheet of A4 or Letter."""

from __future__ import annotations

import math
from collections.abc import Mapping
from typing import NamedTuple

from linesim import __version__
from linesim.report.page.sheet_records import Block, Measured, SheetContent, made_of
from linesim.report.theme.colours import DAY, SOURCE_COLOURS
from linesim.report.theme.markup import ShownCell
from linesim.report.theme.paper import PAPERS_MM
from linesim.report.theme.render import render, style, variables
from linesim.report.theme.shown import number, pair
from linesim.words import retell

__all__ = ["justification_page"]

_ROOM_ROWS, _ROOM_SIGNS = 26.0, 4700.0
"""Rows of tables, and signs of text, each of which alone would fill a sheet of Letter."""
_SMALLEST, _TWO_COLUMNS = 0.62, 0.9
_USUAL_HEAD, _SIGNS_A_LINE = 240, 24
"""Signs of title and answer that a sheet has room for anyhow; signs of a name in one line of a table."""


class _Bar(NamedTuple):
    """One bar of the account: its pieces are (width in %, colour, source)."""

    name: str
    pieces: list[tuple[str, str, str]]
    spread: str


def justification_page(content: SheetContent, paper: str = "") -> str:
    """The sheet as one self-contained HTML page.

    Parameters
    ----------
    content : SheetContent
        What stands on it.
    paper : {"A4", "Letter", ""}
        On which it is printed; left to the printer where it is empty, as the page keeps within both.

    Returns
    -------
    str
        HTML without scripts; every name and text of the scenario is escaped.
    """
    size = _size(content)
    return render(
        "sheet.html",
        title=content.title,
        version=__version__,
        allowed="style-src 'unsafe-inline'",
        style=style("sheet.css"),
        day=variables(DAY),
        zoom=f"{size:.3f}",
        width_mm=f"{190.0 / size:.1f}",
        paper="{}mm {}mm".format(*PAPERS_MM[paper]) if paper else "",
        is_full=size < _TWO_COLUMNS,
        sheet=content,
        tables=[(block.title, block.heads, list(map(_row, block.rows))) for block in content.blocks if block.rows],
        bars=_bars(content),
        key=[(name, SOURCE_COLOURS[name]) for name in _sources(content)],
        made=made_of(content),
    )


def _size(content: SheetContent) -> float:
    """How much smaller a fuller sheet is written, so that it stays on one page of either paper."""
    rows = sum(len(block.rows) + 2 + _wrapped(block) for block in content.blocks) + 0.7 * len(content.shares)
    words = sum(
        len(retell(text)) for text in (*content.remarks, *content.assumptions, *content.sources, *content.cautions)
    )
    words += 2 * max(0, len(content.title) + len(retell(content.answer)) - _USUAL_HEAD)
    filled = rows / _ROOM_ROWS + words / _ROOM_SIGNS
    return min(1.0, max(_SMALLEST, 1.0 / math.pow(filled, 0.9)))


def _wrapped(block: Block) -> float:
    """Rows that long names take more than the two lines of a figure with its half width."""
    cells = [[retell(cell) for cell in row if isinstance(cell, str)] for row in (block.heads, *block.rows)]
    lines = (math.ceil(max(map(len, own), default=0) / _SIGNS_A_LINE) for own in cells)
    return sum(0.5 * max(0, count - 2) for count in lines)


def _row(row: tuple[Measured, ...]) -> list[ShownCell]:
    return list(map(_cell, row))


def _cell(cell: Measured) -> ShownCell:
    """A text, or a figure with its half width beneath."""
    if isinstance(cell, str):
        return ShownCell(retell(cell), "", "")
    value, width = pair(cell.value, cell.half_width, cell.decimals)
    return ShownCell(value, f"{width} ~" if width and cell.is_open else width, "")


def _bars(content: SheetContent) -> list[_Bar]:
    """Bars of the variance by source, variant by variant; as long as the standard deviation."""
    most = max((spread for spread, _ in content.shares.values()), default=1.0) or 1.0
    places = 0 if content.small_unit == "µin" else 2
    return [
        _Bar(name, _bar(spread / most, shares), f"{number(spread, places)} {content.small_unit}")
        for name, (spread, shares) in content.shares.items()
    ]


def _bar(length: float, shares: Mapping[str, float]) -> list[tuple[str, str, str]]:
    """Pieces of one bar; what takes variance out again is left out of it."""
    positive = {source: share for source, share in shares.items() if share > 0.0}
    whole = sum(positive.values()) or 1.0
    return [
        (f"{100.0 * length * positive[source] / whole:.2f}", colour, source)
        for source, colour in SOURCE_COLOURS.items()
        if source in positive
    ]


def _sources(content: SheetContent) -> list[str]:
    """Sources that stand in any bar."""
    return [name for name in SOURCE_COLOURS if any(own.get(name, 0.0) > 0.0 for _, own in content.shares.values())]
