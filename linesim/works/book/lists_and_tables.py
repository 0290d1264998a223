"""The two kinds of sheet on their way into a workbook: a row for each entry, or a row for each name."""

from __future__ import annotations

from openpyxl.styles import Alignment, Font
from openpyxl.utils import get_column_letter
from openpyxl.worksheet.worksheet import Worksheet

from linesim.works.book.dressing import (
    LAST_ROW,
    Lists,
    dress_heading,
    dress_widths,
    fold,
    note_of,
    offer,
    write_cell,
)
from linesim.works.book.figures import shown_unit
from linesim.works.book.headings import EXAMPLE
from linesim.works.book.layout import Column, layout_of
from linesim.works.book.sheets import LIST_HEADINGS, Filled, heading_of
from linesim.works.book.spots import Raw

__all__ = ["write_list", "write_table"]

_MEANING = 90
_KEY_NOTE = "Name of the {}. Names are yours; other sheets speak of a thing by its name."
_NUMBER_NOTE = "Number of the {}, from 1: they are taken in this order. Left empty, it is the next one."
_SHARE = "a share"


def write_table(sheet: Worksheet, filled: Filled, like: Filled, lists: Lists, *, is_empty: bool) -> None:
    """Write a sheet with a row for each name.

    Parameters
    ----------
    sheet : Worksheet
        Where.
    filled : Filled
        Its rows.
    like : Filled
        The same sheet of the worked line: what it uses is in sight.
    lists : Lists
        Takes lists that are too long for a cell.
    is_empty : bool
        The first row is a worked one, and the others are left out.
    """
    start = len(filled.table.keys)
    for at, key in enumerate(filled.table.keys, start=1):
        write_cell(sheet, 1, at, key)
        is_number = filled.table.is_items and at == start
        dress_heading(sheet, at, (_NUMBER_NOTE if is_number else _KEY_NOTE).format(key), is_key=True)
    for at, column in enumerate(filled.table.columns, start=start + 1):
        write_cell(sheet, 1, at, heading_of(column, shown_unit(column.shape.quantity, filled.currency, filled.is_inch)))
        dress_heading(sheet, at, note_of(column), is_key=False)
        letter = get_column_letter(at)
        offer(sheet, f"{letter}2:{letter}{LAST_ROW}", column, layout_of(), lists)
    rows = [[f"{EXAMPLE} {row[0]}", *row[1:]] for row in filled.rows[:1]] if is_empty else filled.rows
    for number, row in enumerate(rows, start=2):
        for at, value in enumerate(row, start=1):
            write_cell(sheet, number, at, value, is_grey=is_empty)
            if at > start:
                _format(sheet, number, at, filled.table.columns[at - start - 1])
    sheet.freeze_panes = f"{get_column_letter(start + 1)}2"
    dress_widths(sheet)
    fold(sheet, [start + at + 1 for at, is_shown in enumerate(_shown(filled, like)) if not is_shown])


def write_list(sheet: Worksheet, filled: Filled, like: Filled, lists: Lists, *, is_empty: bool) -> None:
    """Write a sheet with a row for each entry; see `write_table`.

    Parameters
    ----------
    sheet : Worksheet
        Where.
    filled, like : Filled
        Its values, and those of the worked line.
    lists : Lists
        Takes lists that are too long for a cell.
    is_empty : bool
        The values are left out, and those of the worked line stand beside them.
    """
    for at, heading in enumerate((*LIST_HEADINGS, "for example", "what it means"), start=1):
        write_cell(sheet, 1, at, heading)
        dress_heading(sheet, at, "", is_key=at == 1)
    shown = _shown(filled, like)
    examples = like.rows[0] if like.rows else [None] * len(shown)
    for number, (row, example) in enumerate(zip(filled.grid()[1:], examples, strict=True), start=2):
        column = filled.table.columns[number - 2]
        values: list[Raw] = [row[0], None if is_empty else row[1], row[2], example, note_of(column).replace("\n", " ")]
        for at, value in enumerate(values, start=1):
            write_cell(sheet, number, at, value, is_grey=at == 4)
        _format(sheet, number, 2, column)
        sheet.cell(number, 1).font = Font(bold=True)
        sheet.cell(number, 5).alignment = Alignment(wrap_text=True, vertical="top")
        offer(sheet, f"B{number}", column, layout_of(), lists)
        sheet.row_dimensions[number].hidden = not shown[number - 2]
    sheet.freeze_panes = "B2"
    dress_widths(sheet)
    sheet.column_dimensions["E"].width = _MEANING


def _shown(filled: Filled, like: Filled) -> list[bool]:
    """Return which columns are in sight: those that are used, here or by the worked line."""
    pairs = zip(filled.used, like.used, filled.table.columns, strict=True)
    return [is_used or is_usual or not column.path for is_used, is_usual, column in pairs]


def _format(sheet: Worksheet, row: int, at: int, column: Column) -> None:
    """Show a share as a percentage, so that 5 may be typed for 5 %."""
    if column.shape.quantity is not None and column.shape.quantity.kind == _SHARE:
        sheet.cell(row, at).number_format = "0.###%"
