"""The justification sheet as a workbook: real figures with number formats, texts that no spreadsheet runs."""

from __future__ import annotations

import math
from pathlib import Path
from typing import Any

from openpyxl import Workbook
from openpyxl.styles import Alignment, Border, Font, PatternFill, Side
from openpyxl.utils import get_column_letter

from linesim import __version__
from linesim.errors import StudyError
from linesim.report.files.book_file import CREATOR, check_workbook
from linesim.report.files.whole import write_whole
from linesim.report.page.sheet_records import Amount, Block, SheetContent, made_of
from linesim.report.theme.colours import DAY
from linesim.report.theme.csv_text import harmless
from linesim.words import retell, say

__all__ = ["PAPERS", "write_workbook"]

PAPERS = {"A4": 9, "Letter": 1}
"""Papers by the number that a workbook knows them by."""
_WIDTHS = (25.0, 10.5)
_FACE = "Calibri"

_THIN = Side(style="thin", color=DAY.rule.lstrip("#"))
_DARK = Side(style="medium", color=DAY.ink.lstrip("#"))


def write_workbook(path: Path, content: SheetContent, paper: str = "A4", is_forced: bool = False) -> None:
    """Write a justification sheet as an Excel workbook; the sheet, and what went wrong, print on one page each.

    Parameters
    ----------
    path : pathlib.Path
        The file; an older workbook of linesim is overwritten.
    content : SheetContent
        What stands on it.
    paper : {"A4", "Letter"}
        For which the page is set up.
    is_forced : bool
        Whether a file that linesim did not write may be overwritten.

    Raises
    ------
    StudyError
        As for `check_workbook`, the paper is not known, or the file cannot be written.
    """
    if paper not in PAPERS:
        raise StudyError(f"{paper!r} is not a paper that is known here; A4 or Letter was expected")
    check_workbook(path, is_forced)
    book = Workbook()
    book.properties.creator = f"{CREATOR} {__version__}"
    book.properties.title = content.title
    page: Any = book.active
    page.title = sheet_title(say("justify.sheet"))
    _Writer(page, content).write()
    _set_up(page, paper)
    if content.troubles:
        beside = book.create_sheet(sheet_title(say("justify.went_wrong")))
        _Writer(beside, content, content.troubles).write_blocks()
        _set_up(beside, paper)
    write_whole(path, book.save)


class _Writer:
    """Writes one sheet from the top down."""

    def __init__(self, page: Any, content: SheetContent, blocks: tuple[Block, ...] = ()) -> None:
        self.page = page
        self.content = content
        self.row = 1
        long = content.long_capability
        # A sheet has room downwards: the capability stands once for each variant, not side by side.
        own = [*content.blocks[:1], *([long] if long is not None else []), *content.blocks[2:]]
        self.blocks = list(blocks) or own
        self.columns = max([2, *(_width(block) for block in self.blocks)])

    def write(self) -> None:
        """Write everything."""
        content = self.content
        self._text(content.title, Font(bold=True, size=15))
        self._text(content.works, Font(color=DAY.faint.lstrip("#")))
        self._text(content.question, Font(italic=True, size=11))
        colour = DAY.good if content.is_clear else DAY.caution
        self._text(content.answer, Font(bold=True, size=12, color=colour.lstrip("#")))
        self._text(content.certainty, Font(color=DAY.faint.lstrip("#")))
        self.write_blocks()
        self._account()
        for title, texts in (
            (say("justify.does"), content.remarks),
            (say("justify.assumptions"), content.assumptions),
            (say("justify.sources"), content.sources),
            (say("sheet.cautions"), content.cautions),
        ):
            self._list(title, texts)
        self._text(made_of(content), Font(size=8, color=DAY.faint.lstrip("#")))

    def write_blocks(self) -> None:
        """Write the tables."""
        for block in self.blocks:
            self._block(block)

    def _put(self, column: int, value: object, number_format: str = "", font: Font | None = None) -> Any:
        """One cell; a text is stored as a text, whatever it looks like."""
        cell = self.page.cell(row=self.row, column=column)
        if isinstance(value, str):
            cell.value = harmless(retell(value))
            cell.data_type = "s"
        else:
            cell.value = value
        if number_format:
            cell.number_format = number_format
        answer = font or Font()
        cell.font = Font(name=_FACE, size=answer.size or 10, bold=answer.bold, italic=answer.italic, color=answer.color)
        return cell

    def _text(self, text: str, font: Font | None = None) -> None:
        """A text over the whole width."""
        text = retell(text)
        cell = self._put(1, text, font=font)
        cell.alignment = Alignment(wrap_text=True, vertical="top")
        self.page.merge_cells(start_row=self.row, start_column=1, end_row=self.row, end_column=self.columns)
        size = 10.0 if font is None or font.size is None else float(font.size)
        wide = (_WIDTHS[0] + _WIDTHS[1] * (self.columns - 1)) * 10.5 / size
        self.page.row_dimensions[self.row].height = 1.4 * size * max(1, math.ceil(len(text) / wide))
        self.row += 1

    def _heading(self, text: str) -> None:
        self.row += 1
        self._text(text, Font(bold=True, size=11))

    def _list(self, title: str, texts: tuple[str, ...]) -> None:
        if texts:
            self._heading(title)
            for text in texts:
                self._text(text)

    def _block(self, block: Block) -> None:
        """A table; the half width of a figure stands in a column of its own."""
        if not block.rows:
            return
        self._heading(block.title)
        wide = _with_width(block)
        column = 1
        for at, head in enumerate(block.heads):
            self._head(column, head)
            column += 1
            if at in wide:
                self._head(column, "±")
                column += 1
        self.page.row_dimensions[self.row].height = 48.0
        self.row += 1
        for row in block.rows:
            self._row(row, wide)

    def _head(self, column: int, text: str) -> None:
        cell = self._put(column, text, font=Font(bold=True, size=9))
        cell.alignment = Alignment(wrap_text=True, vertical="bottom", horizontal="left" if column == 1 else "right")
        cell.border = Border(bottom=_DARK)
        cell.fill = PatternFill("solid", fgColor=DAY.paper.lstrip("#"))

    def _row(self, row: tuple[str | Amount, ...], wide: set[int]) -> None:
        column = 1
        for at, value in enumerate(row):
            if isinstance(value, Amount):
                known = None if math.isnan(value.value) else value.value
                cell = self._put(column, known, _format(value))
                cell.alignment = Alignment(vertical="top")
                if at in wide:
                    width = None if math.isnan(value.half_width) else value.half_width
                    beside = self._put(column + 1, width, _format(value), Font(color=DAY.faint.lstrip("#")))
                    beside.border = Border(bottom=_THIN)
                    beside.alignment = Alignment(vertical="top")
            else:
                cell = self._put(column, value)
                cell.alignment = Alignment(wrap_text=True, horizontal="left" if at == 0 else "right", vertical="top")
            cell.border = Border(bottom=_THIN)
            column += 2 if at in wide else 1
        longest = max(
            (len(retell(value)) / _WIDTHS[at > 0] for at, value in enumerate(row) if isinstance(value, str)),
            default=1.0,
        )
        self.page.row_dimensions[self.row].height = 13.5 * math.ceil(longest)
        self.row += 1

    def _account(self) -> None:
        """Share of the variance by source, variant by variant."""
        shares = self.content.shares
        if not shares:
            return
        sources = list(dict.fromkeys(source for _, own in shares.values() for source in own))
        rows: tuple[tuple[str | Amount, ...], ...] = tuple(
            (name, Amount(spread, 2), *(Amount(own.get(source, 0.0), 3) for source in sources))
            for name, (spread, own) in shares.items()
        )
        title = say("justify.account_shares", feature=self.content.account_of)
        heads = (say("justify.head_variant"), say("justify.head_sd_side", unit=self.content.small_unit), *sources)
        self._block(Block(title, heads, rows))


def sheet_title(text: str) -> str:
    """A title as a workbook takes it: 31 signs, none of those that it forbids (ECMA-376)."""
    return "".join(sign for sign in text if sign not in "[]:*?/\\")[:31].strip("' ") or "-"


def _format(value: Amount) -> str:
    return "0" if value.decimals == 0 else f"0.{'0' * value.decimals}"


def _with_width(block: Block) -> set[int]:
    """Columns that hold a figure with a half width."""
    return {
        at
        for row in block.rows
        for at, value in enumerate(row)
        if isinstance(value, Amount) and not math.isnan(value.half_width)
    }


def _width(block: Block) -> int:
    return len(block.heads) + len(_with_width(block))


def _set_up(page: Any, paper: str) -> None:
    """One page wide and high, on the paper wanted."""
    page.page_setup.paperSize = PAPERS[paper]
    page.page_setup.orientation = "landscape"
    page.page_setup.fitToWidth = page.page_setup.fitToHeight = 1
    page.sheet_properties.pageSetUpPr.fitToPage = True
    page.print_options.horizontalCentered = True
    for side in ("left", "right", "top", "bottom"):
        setattr(page.page_margins, side, 0.4)
    page.sheet_view.showGridLines = False
    page.column_dimensions["A"].width = _WIDTHS[0]
    for column in range(2, page.max_column + 1):
        page.column_dimensions[get_column_letter(column)].width = _WIDTHS[1]
    page.print_area = f"A1:{get_column_letter(page.max_column)}{page.max_row}"
