"""The look of a sheet: headings with notes, widths, what stays in sight, what is folded away, lists to choose from."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import groupby

from openpyxl.comments import Comment
from openpyxl.styles import Alignment, Border, Font, PatternFill, Side
from openpyxl.utils import get_column_letter
from openpyxl.worksheet.datavalidation import DataValidation
from openpyxl.worksheet.worksheet import Worksheet

from linesim.works.book.layout import Column, Layout
from linesim.works.book.offers import Offer, offer_of
from linesim.works.book.spots import Raw

__all__ = ["LAST_ROW", "Lists", "dress_heading", "dress_widths", "fold", "note_of", "offer", "write_cell"]

LAST_ROW = 2000
"""Rows down to which cells offer lists."""

_INK, _HEAD, _KEY, _GREY = "1C2733", "D9E8F5", "B9D4EA", "8A9099"
_RULE = Border(bottom=Side(style="thin", color=_GREY))
_NARROW, _WIDE = 9, 44
_LONGEST_LIST = 250


@dataclass
class Lists:
    """The sheet that holds the lists which are too long to stand in the rule of a cell.

    Parameters
    ----------
    sheet : Worksheet
        Of the workbook, not in sight.
    """

    sheet: Worksheet
    count: int = 0

    def reference(self, words: tuple[str, ...]) -> str:
        """Write a list into a column of its own, and return where it stands."""
        self.count += 1
        letter = get_column_letter(self.count)
        for row, word in enumerate(words, start=1):
            write_cell(self.sheet, row, self.count, word)
        return f"={self.sheet.title}!${letter}$1:${letter}${len(words)}"


def write_cell(sheet: Worksheet, row: int, column: int, value: Raw, *, is_grey: bool = False) -> None:
    """Write a value; a text stays a text, also one that looks like a formula.

    Parameters
    ----------
    sheet : Worksheet
        Where.
    row, column : int
        From 1.
    value : str, number or None
        What.
    is_grey : bool
        As an example, which is not read.
    """
    cell = sheet.cell(row, column)
    cell.value = value
    if isinstance(value, str):
        cell.data_type = "s"
    if is_grey:
        cell.font = Font(color=_GREY, italic=True)


def note_of(column: Column) -> str:
    """Return what a column means, what may stand there, and what holds where it is empty."""
    kinds = "yes, to say no more than that it is there" if column.is_mark else column.shape.in_words
    usual = f" Empty: {column.usual}." if column.usual else ""
    needed = " Needed." if column.is_required and len(column.path) <= 1 else ""
    return f"{column.note}\n{kinds[:1].upper()}{kinds[1:]}.{usual}{needed}".strip()


def dress_heading(sheet: Worksheet, at: int, note: str, *, is_key: bool) -> None:
    """Make a cell of the first row a heading with a note.

    Parameters
    ----------
    sheet : Worksheet
        Where.
    at : int
        Column, from 1.
    note : str
        What the column means.
    is_key : bool
        Whether it is a column of names.
    """
    cell = sheet.cell(1, at)
    cell.font = Font(bold=True, color=_INK)
    cell.fill = PatternFill("solid", fgColor=_KEY if is_key else _HEAD)
    cell.alignment = Alignment(wrap_text=True, vertical="top")
    cell.border = _RULE
    if note:
        cell.comment = Comment(note, "linesim", height=40 + 22 * (1 + len(note) // 38), width=320)


def dress_widths(sheet: Worksheet) -> None:
    """Make every column as wide as its values ask, within reason; headings break into lines."""
    for at, cells in enumerate(sheet.iter_cols(max_row=min(sheet.max_row, LAST_ROW)), start=1):
        head, *rest = ["" if cell.value is None else str(cell.value) for cell in cells]
        longest = max([*(len(word) for word in head.split()), *map(len, rest), 1])
        sheet.column_dimensions[get_column_letter(at)].width = min(max(longest + 2, _NARROW), _WIDE)
    lines = [_lines(sheet, cell.value, at) for at, cell in enumerate(sheet[1], start=1)]
    sheet.row_dimensions[1].height = 15 * max(lines)


def _lines(sheet: Worksheet, value: object, column: int) -> int:
    """Return how many lines a heading takes."""
    width = sheet.column_dimensions[get_column_letter(column)].width
    lines, left = 1, width
    for word in str(value or "").split():
        if len(word) > left:
            lines, left = lines + 1, width
        left -= len(word) + 1
    return min(lines, 6)


def fold(sheet: Worksheet, unused: list[int]) -> None:
    """Fold columns away that nothing is written in; a click on the sign above brings them back.

    Parameters
    ----------
    sheet : Worksheet
        Where.
    unused : list of int
        Columns, from 1, rising.
    """
    for _, run in groupby(enumerate(unused), key=lambda pair: pair[1] - pair[0]):
        columns = [column for _, column in run]
        for column in columns:
            dimension = sheet.column_dimensions[get_column_letter(column)]
            dimension.outlineLevel, dimension.hidden = 1, True


def offer(sheet: Worksheet, cells: str, column: Column, layout: Layout, lists: Lists) -> None:
    """Have cells offer what may stand there.

    Parameters
    ----------
    sheet : Worksheet
        Where.
    cells : str
        Range, as "C2:C2000".
    column : Column
        What stands there.
    layout : Layout
        All sheets.
    lists : Lists
        Takes lists that are too long.
    """
    offered = offer_of(column, layout)
    if offered is None:
        return
    rule = DataValidation("list", formula1=_source(offered, layout, lists), allow_blank=True)
    rule.showErrorMessage = offered.is_bound
    if offered.is_bound:
        rule.errorTitle, rule.error = "Not on the list", f"One of: {', '.join(offered.words)}"[:_LONGEST_LIST]
    sheet.add_data_validation(rule)
    rule.add(cells)


def _source(offered: Offer, layout: Layout, lists: Lists) -> str:
    """Return where the list of a cell stands."""
    if offered.title:
        letter = get_column_letter(len(layout.titled(offered.title).keys))
        return f"='{offered.title}'!${letter}$2:${letter}${LAST_ROW}"
    inline = f'"{",".join(offered.words)}"'
    is_short = len(inline) <= _LONGEST_LIST and not any("," in word for word in offered.words)
    return inline if is_short else lists.reference(offered.words)
