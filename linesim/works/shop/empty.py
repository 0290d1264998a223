"""The routing sheet to fill in: seven headings and a worked row in grey."""

from __future__ import annotations

import io

from openpyxl import Workbook
from openpyxl.worksheet.worksheet import Worksheet

from linesim.works.book.dressing import dress_heading, write_cell
from linesim.works.book.headings import EXAMPLE
from linesim.works.book.spots import Raw
from linesim.works.shop.headings import COLUMNS

__all__ = ["WORKED", "empty_routing_sheet"]

WORKED: tuple[Raw, ...] = ("10", "Mill the top face", "Mill 3", 3.5, "Face mill", 60, 8)
"""The worked row; figures are invented."""

_WIDTHS = (14, 34, 16, 12, 20, 12, 12)
_TITLE = "Routing sheet"


def empty_routing_sheet() -> bytes:
    """Write a routing sheet with a worked row.

    Returns
    -------
    bytes
        An .xlsx file.
    """
    book = Workbook()
    sheet = book.active
    assert isinstance(sheet, Worksheet)
    sheet.title = _TITLE
    for at, (column, width) in enumerate(zip(COLUMNS.values(), _WIDTHS, strict=True), start=1):
        write_cell(sheet, 1, at, column.heading)
        dress_heading(sheet, at, column.note, is_key=at == 1)
        sheet.column_dimensions["ABCDEFG"[at - 1]].width = width
        value = WORKED[at - 1]
        write_cell(sheet, 2, at, f"{EXAMPLE} {value}" if at == 1 else value, is_grey=True)
    sheet.freeze_panes = "A2"
    content = io.BytesIO()
    book.save(content)
    return content.getvalue()
