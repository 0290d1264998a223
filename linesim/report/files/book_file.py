"""Tables as an Excel workbook: a sheet with a live table for each, sums as formulas, texts that no spreadsheet runs."""

from __future__ import annotations

import json
import math
import re
from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import Any

import pandas as pd
from openpyxl import Workbook, load_workbook
from openpyxl.styles import Font
from openpyxl.utils import get_column_letter
from openpyxl.worksheet.table import Table, TableStyleInfo

from linesim import __version__
from linesim.errors import StudyError
from linesim.report.files.whole import write_whole
from linesim.report.theme.csv_text import harmless
from linesim.report.theme.grid import plain

__all__ = ["CREATOR", "check_workbook", "write_tables"]

CREATOR = "linesim"
"""How a workbook says that linesim wrote it."""

_WHERE_FROM = "where from"
_MOST_ROWS = 1_048_000
_WIDEST, _NARROWEST = 46, 9
_LONGEST_CELL = 32_000
_STYLE = TableStyleInfo(name="TableStyleLight1", showRowStripes=True)


def check_workbook(path: Path, is_forced: bool) -> None:
    """See to it that the workbook can be written, before anything is run for it.

    Raises
    ------
    StudyError
        The place is a folder, its folder is missing, or a file lies there that linesim did not write.
    """
    if path.is_dir():
        raise StudyError(f"{path}: this is a folder; a file name such as sheet.xlsx was expected")
    if path.suffix.lower() != ".xlsx":
        raise StudyError(f"{path}: a workbook's name ends in .xlsx; a name such as sheet.xlsx was expected")
    if not path.parent.is_dir():
        raise StudyError(f"{path.parent}: there is no such folder for the workbook; make it first")
    if path.exists() and not is_forced and not _is_own(path):
        sentence = "lies there already and is not a workbook of linesim"
        raise StudyError(f"{path}: {sentence}; name another file, or add --force to overwrite it")


def write_tables(
    path: Path,
    tables: Mapping[str, pd.DataFrame],
    provenance: Mapping[str, Any],
    summed: Mapping[str, Sequence[str]],
    is_forced: bool = False,
) -> None:
    """Write tables as an Excel workbook, whole or not at all.

    Parameters
    ----------
    path : pathlib.Path
        The file; an older workbook of linesim is overwritten.
    tables : mapping of str to DataFrame
        A sheet each, with a table that can be sorted and filtered.
    provenance : mapping
        Where they come from; stands on a sheet of its own.
    summed : mapping of str to sequence of str
        Columns of a table whose sum over the rows that are seen stands above it, as a formula.
    is_forced : bool
        Whether a file that linesim did not write may be overwritten.

    Raises
    ------
    StudyError
        As for `check_workbook`, a table is longer than a sheet, or the file cannot be written.
    """
    check_workbook(path, is_forced)
    book = Workbook()
    book.properties.creator = f"{CREATOR} {__version__}"
    sheet: Any = book.active
    for number, (name, table) in enumerate(tables.items()):
        if len(table) > _MOST_ROWS:
            raise StudyError(f"{path}: {name} has {len(table)} rows, more than a sheet holds; write it with --csv")
        sheet = sheet if number == 0 else book.create_sheet()
        sheet.title = re.sub(r"[^\w \-]", " ", name)[:31]
        _Sheet(sheet, table, [column for column in summed.get(name, ()) if column in table]).write(number + 1)
    _where_from(book.create_sheet(_WHERE_FROM), provenance)
    write_whole(path, book.save)


class _Sheet:
    """Writes one table."""

    def __init__(self, sheet: Any, table: pd.DataFrame, summed: Sequence[str]) -> None:
        self.sheet, self.table, self.summed = sheet, table, summed
        self.top = 2 if summed else 1

    def write(self, number: int) -> None:
        """Sums, heads, rows; a table around them if there are any."""
        table, heads = self.table, [plain(str(name)) for name in self.table.columns]
        for column, head in enumerate(heads, start=1):
            _put(self.sheet, self.top, column, head).font = Font(bold=True)
        for row, values in enumerate(table.itertuples(index=False, name=None), start=self.top + 1):
            for column, value in enumerate(values, start=1):
                _put(self.sheet, row, column, value)
        last = self.top + len(table)
        for column, name in enumerate(table.columns, start=1):
            letter = get_column_letter(column)
            self.sheet.column_dimensions[letter].width = _width(heads[column - 1], table[name])
            if name in self.summed and len(table):
                cell = self.sheet.cell(1, column, f"=SUBTOTAL(109,{letter}{self.top + 1}:{letter}{last})")
                cell.font = Font(bold=True)
        if self.summed:
            _put(self.sheet, 1, 1, "sum of the rows seen").font = Font(bold=True)
        self.sheet.freeze_panes = self.sheet.cell(self.top + 1, 1)
        if len(table) and heads:
            corner = f"{get_column_letter(len(heads))}{last}"
            live = Table(displayName=f"table_{number}", ref=f"A{self.top}:{corner}", tableStyleInfo=_STYLE)
            self.sheet.add_table(live)


def _put(sheet: Any, row: int, column: int, value: object) -> Any:
    """One cell; a text is stored as a text, whatever it looks like, and nothing for what is not known."""
    cell = sheet.cell(row, column)
    plain_value = value.item() if hasattr(value, "item") else value
    if isinstance(plain_value, (bool, int)):
        cell.value = plain_value
    elif isinstance(plain_value, float):
        cell.value = plain_value if math.isfinite(plain_value) else None
    elif plain_value is not None and plain_value is not pd.NaT and plain_value is not pd.NA:
        cell.value = harmless("\n".join(map(plain, str(plain_value).split("\n"))))[:_LONGEST_CELL]
        cell.data_type = "s"
    return cell


def _width(head: str, column: pd.Series[Any]) -> float:
    """Of a column, by its head and the first of its texts."""
    texts = [len(value) for value in column.head(200) if isinstance(value, str)]
    return float(min(_WIDEST, max([_NARROWEST, len(head) + 3, *texts])))


def _where_from(sheet: Any, provenance: Mapping[str, Any]) -> None:
    for row, (name, value) in enumerate(provenance.items(), start=1):
        _put(sheet, row, 1, name).font = Font(bold=True)
        _put(sheet, row, 2, value if isinstance(value, (str, int, float)) else json.dumps(value))
    sheet.column_dimensions["A"].width, sheet.column_dimensions["B"].width = 20.0, 90.0


def _is_own(path: Path) -> bool:
    """Whether linesim wrote a workbook."""
    try:
        book = load_workbook(path, read_only=True)
    except Exception:  # noqa: BLE001 - whatever it is, it is not ours
        return False
    creator = str(book.properties.creator or "")
    book.close()
    return creator.startswith(CREATOR)
