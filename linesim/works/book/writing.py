"""A works becomes a workbook that people fill in; an empty one shows a worked row in grey on every sheet."""

from __future__ import annotations

import io
from collections.abc import Iterator
from importlib.resources import files
from typing import Any

from openpyxl import Workbook
from openpyxl.styles import Alignment, Font
from openpyxl.worksheet.worksheet import Worksheet

from linesim.errors import ScenarioError
from linesim.works.book.cover import FURTHER_NOTE, cover_rows
from linesim.works.book.dressing import Lists, dress_heading, dress_widths, write_cell
from linesim.works.book.further import FURTHER
from linesim.works.book.lists_and_tables import write_list, write_table
from linesim.works.book.sheets import Filled, filled_sheets, further_grid
from linesim.works.book.trees import COVER, LISTS
from linesim.works.model import Works
from linesim.works.nodes import Path
from linesim.works.reading import read_text
from linesim.works.writing import plain

__all__ = ["LONGEST_TEXT", "check_texts", "empty_workbook", "to_workbook"]

LONGEST_TEXT = 32_767
"""Signs that a cell of a workbook can hold."""

_IN_SIGHT = {"Works", "Prices", "Line", "Features", "Operations", "Cuts", "Cutters", "Gauges", "People", "Policies"}
"""Sheets that are shown even if nothing stands in them."""


def to_workbook(works: Works, is_inch: bool = False) -> bytes:
    """Write a works as a workbook that reads back to an equal works.

    Parameters
    ----------
    works : Works
        Checked.
    is_inch : bool
        Lengths in inches, speeds in feet per minute, power in horsepower.

    Returns
    -------
    bytes
        An .xlsx file.

    Raises
    ------
    ScenarioError
        A text is longer than a cell holds.
    """
    check_texts(works)
    content = plain(works)
    sheets, further = filled_sheets(content, is_inch=is_inch)
    return _written(sheets, further, _sample(works.currency, is_inch), is_empty=False)


def check_texts(works: Works) -> None:
    """See to it that every text of a works goes into a cell.

    Parameters
    ----------
    works : Works
        Checked.

    Raises
    ------
    ScenarioError
        One is longer than a cell holds.
    """
    for path, text in _texts(plain(works), ()):
        if len(text) > LONGEST_TEXT:
            words = f"a text of {len(text)} signs; a cell of a workbook holds at most {LONGEST_TEXT}"
            raise ScenarioError([works.problem(path, words)])


def empty_workbook(is_inch: bool = False, currency: str = "EUR") -> bytes:
    """Write a workbook with nothing in it but a worked row in grey on every sheet.

    Parameters
    ----------
    is_inch : bool
        Headings in inches and what goes with them.
    currency : str
        Of its amounts of money.

    Returns
    -------
    bytes
        An .xlsx file.
    """
    sample = _sample(currency, is_inch)
    return _written(sample, {}, sample, is_empty=True)


def _sample(currency: str, is_inch: bool) -> list[Filled]:
    """Return the sheets of the line from which the worked rows are, and which says what columns are in sight."""
    text = files("linesim.works.book").joinpath("sample.yaml").read_text(encoding="utf-8")
    return filled_sheets({**read_text(text, "sample").plain(), "currency": currency}, is_inch=is_inch)[0]


def _written(sheets: list[Filled], further: dict[Path, Any], sample: list[Filled], *, is_empty: bool) -> bytes:
    """Return a workbook of filled sheets."""
    book = Workbook()
    cover, lists = book.active, Lists(book.create_sheet(LISTS))
    assert isinstance(cover, Worksheet)
    hidden: set[str] = set()
    for filled, like in zip(sheets, sample, strict=True):
        sheet = book.create_sheet(filled.table.title)
        (write_list if filled.table.is_list else write_table)(sheet, filled, like, lists, is_empty=is_empty)
        if not filled.rows and filled.table.title not in _IN_SIGHT:
            hidden.add(filled.table.title)
            sheet.sheet_state = "hidden"
    _write_further(book.create_sheet(FURTHER), further)
    if not further:
        hidden.add(FURTHER)
        book[FURTHER].sheet_state = "hidden"
    _write_cover(cover, sheets, hidden)
    book.move_sheet(lists.sheet, len(book.sheetnames))
    lists.sheet.sheet_state = "hidden"
    content = io.BytesIO()
    book.save(content)
    return content.getvalue()


def _write_further(sheet: Worksheet, further: dict[Path, Any]) -> None:
    """Write the sheet of further entries."""
    for number, row in enumerate(further_grid(further), start=1):
        for at, value in enumerate(row, start=1):
            write_cell(sheet, number, at, value)
    dress_heading(sheet, 1, FURTHER_NOTE, is_key=True)
    dress_heading(sheet, 2, "A figure, a text, or a group such as {uniform: {low: 3 h, high: 1 day}}.", is_key=False)
    sheet.freeze_panes = "A2"
    dress_widths(sheet)


def _write_cover(sheet: Worksheet, sheets: list[Filled], hidden: set[str]) -> None:
    """Write the first sheet."""
    sheet.title = COVER
    for number, row in enumerate(cover_rows(tuple(filled.table for filled in sheets), hidden), start=1):
        for at, value in enumerate(row, start=1):
            write_cell(sheet, number, at, value or None)
        sheet.cell(number, 1).font = Font(bold=True)
        sheet.cell(number, 2).alignment = Alignment(wrap_text=True, vertical="top")
    for letter, width in zip("ABC", (26, 100, 10), strict=True):
        sheet.column_dimensions[letter].width = width


def _texts(content: Any, path: Path) -> Iterator[tuple[Path, str]]:
    """Yield every text of a scenario, names of entries too, with its path."""
    if isinstance(content, str):
        yield path, content
    elif isinstance(content, dict):
        for name, value in content.items():
            yield (*path, name), name
            yield from _texts(value, (*path, name))
    elif isinstance(content, list):
        for at, value in enumerate(content):
            yield from _texts(value, (*path, at))
