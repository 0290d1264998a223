"""Reading the tables of pages as a person does: a column by its heading, a figure by its digits."""

from __future__ import annotations

import math
import re
from collections.abc import Iterable, Mapping

from linesim.report.theme.picture import Sheet

__all__ = ["assert_column", "assert_columns", "column", "figure_of", "is_shown_as", "text_of"]

_FIGURE = re.compile(r"^[−-]?\d[\d\N{NARROW NO-BREAK SPACE}]*(?:\.\d+)?")


def text_of(cell: object) -> str:
    return str(cell[0]) if isinstance(cell, tuple) else str(cell)


def heads_of(sheet: Sheet) -> list[str]:
    return [text_of(head) for head in sheet.heads]


def column(sheet: Sheet, head: str) -> list[str]:
    """Cells under a heading, which stands there once."""
    heads = heads_of(sheet)
    assert heads.count(head) == 1, (head, heads)
    return [text_of(row[heads.index(head)]) for row in sheet.rows]


def figure_of(text: str) -> float:
    """The figure with which a cell begins."""
    found = _FIGURE.match(text)
    assert found is not None, text
    return float(found[0].replace("−", "-").replace("\N{NARROW NO-BREAK SPACE}", ""))


def is_shown_as(text: str, value: float, slack: float = 0.0) -> bool:
    """Whether a cell shows a value, to the digits that it has and within what was rounded before."""
    if value is None or math.isnan(value):
        return text.startswith("–")
    if math.isinf(value):
        return text.startswith("no end")
    if text == "over 10":
        return value > 10.0
    found = _FIGURE.match(text)
    if found is None:
        return False
    decimals = len(found[0].partition(".")[2])
    return abs(figure_of(text) - value) <= 0.5000001 * 10.0**-decimals + slack


def key_of(called: str) -> str:
    """The name of an operation or a machine without what it does."""
    return called.partition(" (")[0]


def assert_column(sheet: Sheet, head: str, values: Iterable[float], half_widths: Iterable[float] | None = None) -> None:
    """The cells under a heading show these values, row by row, and their half widths."""
    cells, wanted = column(sheet, head), list(values)
    assert len(cells) == len(wanted), head
    for cell, value in zip(cells, wanted, strict=True):
        assert is_shown_as(cell, value), (head, cell, value)
    if half_widths is not None:
        for cell, width in zip(cells, half_widths, strict=True):
            if not math.isnan(width) and cell != "over 10":
                assert is_shown_as(cell.replace("\xa0", " ").partition("± ")[2], width), (head, cell, width)


def assert_columns(sheet: Sheet, wanted: Mapping[str, Iterable[float]]) -> None:
    """As `assert_column`, for several."""
    for head, values in wanted.items():
        assert_column(sheet, head, values)
