"""Tables read back from where people read them: the terminal, a page, a workbook, a CSV file; and what a cell says."""

from __future__ import annotations

import csv
import io
import math
import re
from collections.abc import Iterable, Sequence
from html.parser import HTMLParser
from typing import Any, NamedTuple

from rich.console import Console, Group
from rich.padding import Padding
from rich.table import Table

UNKNOWN = "–"
_SPACES = str.maketrans({"\N{NARROW NO-BREAK SPACE}": "", "\N{NO-BREAK SPACE}": " ", "\N{MINUS SIGN}": "-"})
_NUMBER = re.compile(r"^(-?\d+(?:\.(\d+))?)$")


class Printed(NamedTuple):
    """A table as it was read: headings between rows are left out."""

    title: str
    heads: list[str]
    rows: list[list[str]]

    def column(self, head: str, nth: int = 0) -> list[str]:
        """Cells of the nth column whose head is this."""
        at = [number for number, each in enumerate(self.heads) if each == head][nth]
        return [row[at] for row in self.rows]


def terminal_tables(page: Group) -> list[Printed]:
    """Tables of a page for the terminal, in order; what is printed of them is what they hold."""
    tables = [part.renderable if isinstance(part, Padding) else part for part in page.renderables]
    return [_of_terminal(table) for table in tables if isinstance(table, Table)]


def headings(page: Group) -> dict[str, list[str]]:
    """By title: the headings between the rows of each table for the terminal, which name the lines."""
    answer = {}
    for part in page.renderables:
        table = part.renderable if isinstance(part, Padding) else part
        if isinstance(table, Table) and len(table.columns) > 1:
            rows = zip(*([str(cell) for cell in column.cells] for column in table.columns), strict=True)
            answer[str(table.title)] = [first for first, *rest in rows if not any(rest)]
    return answer


def _of_terminal(table: Table) -> Printed:
    columns = [[str(cell) for cell in column.cells] for column in table.columns]
    rows = [list(row) for row in zip(*columns, strict=True)]
    lines = _shown(table)
    for row in rows:
        figures = [cell.split("\n")[0] for cell in row if _NUMBER.match(cell.split("\n")[0].translate(_SPACES))]
        assert any(all(figure in line for figure in figures) for line in lines), f"not printed in a line: {row}"
    whole = [row for row in rows if len(row) == 1 or any(row[1:])]
    return Printed(str(table.title), [str(column.header) for column in table.columns], whole)


def _shown(table: Table) -> list[str]:
    console = Console(width=400, record=True, file=io.StringIO())
    console.print(table)
    return console.export_text().splitlines()


def html_tables(page: str) -> list[Printed]:
    """Tables of an HTML page, in order; a row of sums stands last."""
    reader = _Tables()
    reader.feed(page)
    return reader.tables


class _Tables(HTMLParser):
    """Reads tables as a browser shows them."""

    def __init__(self) -> None:
        super().__init__()
        self.tables: list[Printed] = []
        self._row: list[str] | None = None
        self._text: list[str] | None = None
        self._heads: list[str] = []
        self._rows: list[list[str]] = []
        self._title = ""

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:  # noqa: ARG002
        if tag == "table":
            self._heads, self._rows, self._title = [], [], ""
        elif tag == "tr":
            self._row = []
        elif tag in ("th", "td", "caption"):
            self._text = []
        elif tag == "span" and self._text is not None:
            self._text.append(" ")

    def handle_data(self, data: str) -> None:
        if self._text is not None:
            self._text.append(data)

    def handle_endtag(self, tag: str) -> None:
        if tag == "table":
            self.tables.append(Printed(self._title, self._heads, self._rows))
        elif tag == "tr" and self._row is not None:
            if self._heads:
                self._rows.append(self._row)
            else:
                self._heads = self._row
            self._row = None
        elif tag in ("th", "td", "caption") and self._text is not None:
            text = " ".join("".join(self._text).replace("\N{NO-BREAK SPACE}", " ").split())
            if tag == "caption":
                self._title = text
            elif self._row is not None:
                self._row.append(text)
            self._text = None


def sheet_table(page: Any, first_head: str) -> list[dict[str, Any]]:
    """Rows of a table in a worksheet, by head: from the head that is named down to the first gap."""
    rows = [list(row) for row in page.iter_rows(values_only=True)]
    start = next(at for at, row in enumerate(rows) if row[0] == first_head)
    heads = [head for head in rows[start] if head is not None]
    body: list[dict[str, Any]] = []
    for row in rows[start + 1 :]:
        if row[0] is None:
            break
        body.append(dict(zip(_numbered(heads), row, strict=False)))
    return body


def _numbered(heads: Sequence[str]) -> list[str]:
    """Heads of which a second ± is told from the first by the head before it."""
    return [f"{heads[at - 1]} ±" if head == "±" else head for at, head in enumerate(heads)]


def csv_rows(text: str) -> list[dict[str, str]]:
    """Rows of a CSV file by head."""
    return list(csv.DictReader(io.StringIO(text)))


def shows(cell: str, value: float | None, half_width: float | None = None, is_open: bool | None = None) -> None:
    """See to it that a cell shows a value to the places that it has, and its half width and mark if these are given."""
    text = " ".join(cell.translate(_SPACES).split())
    if value is None or math.isnan(value):
        assert text == UNKNOWN, f"{cell!r} should say that nothing is known"
        return
    if text == "over 10":
        assert value > 10.0, f"{cell!r} should be said of more than ten"
        return
    if is_open is not None:
        assert text.endswith("~") == is_open, f"{cell!r} should {'' if is_open else 'not '}be marked as open"
    mean, sign, width = text.removesuffix("~").strip().partition("±")
    _is(mean.strip(), value, cell)
    if half_width is not None:
        assert bool(sign) == (not math.isnan(half_width)), f"{cell!r} should show an interval only if there is one"
        if sign:
            _is(width.strip(), half_width, cell)


def _is(text: str, value: float, cell: str) -> None:
    if math.isinf(value):
        assert text == "no end", f"{cell!r} should have no end"
        return
    found = _NUMBER.match(text)
    assert found, f"{cell!r} is no figure; {value} was expected"
    tolerance = 0.5 * 10.0 ** -len(found[2] or "") * (1.0 + 1e-9) + 1e-12 * abs(value)
    assert abs(float(found[1]) - value) <= tolerance, f"{cell!r} should show {value}"


def all_show(cells: Iterable[str], values: Iterable[float | None]) -> None:
    """See to it that the cells of a column show a result's values, in order."""
    for cell, value in zip(cells, values, strict=True):
        shows(cell, value)


def all_within(
    cells: Iterable[str], values: Iterable[float], widths: Iterable[float], opens: Iterable[bool] | None = None
) -> None:
    """See to it that cells show values with their half widths, and which of them are open if that is given."""
    marks: Iterable[bool | None] = [None] * 10_000 if opens is None else opens
    for cell, value, width, is_open in zip(cells, values, widths, marks, strict=opens is not None):
        shows(cell, value, width, is_open)
