"""A file that may come from anyone becomes a table of raw cells: CSV, a workbook, Parquet, MTConnect."""

from __future__ import annotations

import csv
import io
import re
from collections import Counter
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from pathlib import Path, PurePath
from typing import Any

import pyarrow as pa
import pyarrow.parquet as pq

from linesim.errors import ScenarioError, hint_at, listed, quoted
from linesim.records.mtconnect import document_in
from linesim.works.book.reading import grids_in
from linesim.works.reading import Allowance, file_content
from linesim.works.yaml_tree import refused_at

__all__ = ["ENDINGS", "RawRow", "Table", "cells_under", "content_of", "sheets_in", "table_in"]

ENDINGS = (".csv", ".txt", ".tsv", ".xlsx", ".xlsm", ".parquet", ".xml")
"""Endings of the files that are read."""

_MOST_BYTES = 24_000_000
_MOST_ROWS = 200_000
_MOST_COLUMNS = 200
_LONGEST_CELL = 2000
_HEADING_WITHIN = 20
_SEPARATORS = ";\t,|"
_FIGURE = re.compile(r"\s*[-+]?[0-9][0-9.,:/\s-]*\s*")

RawRow = tuple[int, tuple[Any, ...]]
"""Number of a row in its file, from 1 as a spreadsheet shows it, and its cells."""


@dataclass(frozen=True)
class Table:
    """Cells under their headings.

    Attributes
    ----------
    file : str
        What to call the file in errors.
    headings : tuple of str
        As written; empty where there is none.
    rows : tuple of RawRow
        Rows in which anything stands.
    remarks : tuple of str
        What has to be known of the file: which document it is, and what in it could not serve.
    """

    file: str
    headings: tuple[str, ...]
    rows: tuple[RawRow, ...]
    remarks: tuple[str, ...] = ()


def content_of(path: Path, shown: str) -> bytes:
    """Return what stands in a file of records.

    Raises
    ------
    ScenarioError
        It cannot be read, is too large, or is of a kind that is not read.
    """
    if path.suffix.lower() not in ENDINGS:
        raise refused_at(
            shown, None, "a file of records was expected: CSV, a workbook (.xlsx), Parquet or MTConnect (.xml)"
        )
    return file_content(path, shown, Allowance(size=_MOST_BYTES))


def sheets_in(content: bytes, shown: str) -> list[str]:
    """Return the names of the sheets of a workbook or document; a file of another kind has one, without a name."""
    if PurePath(shown).suffix.lower() == ".xml":
        return list(document_in(content, shown).sheets)
    if PurePath(shown).suffix.lower() not in (".xlsx", ".xlsm"):
        return [""]
    return [title for title, grid in grids_in(content, shown).items() if len(grid) > 1]


def table_in(content: bytes, shown: str, sheet: str = "") -> Table:
    """Return the table in a file.

    Parameters
    ----------
    content : bytes
        The file, from anyone.
    shown : str
        Its name; the ending says what it is.
    sheet : str
        Sheet of a workbook; the first unless given.

    Raises
    ------
    ScenarioError
        It holds no table, or more than anybody records.
    """
    ending = PurePath(shown).suffix.lower()
    if ending == ".parquet":
        return _from_parquet(content, shown)
    if ending == ".xml":
        document = document_in(content, shown)
        grid = _sheet_of({**document.sheets, **document.unread}, shown, sheet)
        return replace(_under_headings(grid, shown), remarks=document.remarks)
    grid = _sheet(content, shown, sheet) if ending in (".xlsx", ".xlsm") else _csv_rows(_text(content, shown), shown)
    return _under_headings(grid, shown)


def _sheet(content: bytes, shown: str, sheet: str) -> list[Sequence[Any]]:
    """Return the rows of one sheet of a workbook."""
    grids = grids_in(content, shown)
    if not grids:
        raise refused_at(shown, None, "this workbook has no sheet of cells")
    return _sheet_of(grids, shown, sheet)


def _sheet_of(grids: Mapping[str, Sequence[Sequence[Any]]], shown: str, sheet: str) -> list[Sequence[Any]]:
    """Return the rows of one sheet; of the first if none is named."""
    if sheet and sheet not in grids:
        raise refused_at(
            shown,
            None,
            f"there is no sheet {quoted(sheet)}; one of {listed(grids)} was expected",
            hint_at(sheet, grids),
        )
    return list(grids[sheet or next(iter(grids))])


def _text(content: bytes, shown: str) -> str:
    """Return the text of a file as spreadsheets write it: UTF-8, UTF-16 with its mark, or the letters of Windows."""
    if content[:2] in (b"\xff\xfe", b"\xfe\xff"):
        text = content.decode("utf-16", errors="replace")
    else:
        try:
            text = content.decode("utf-8-sig")
        except UnicodeDecodeError:
            text = content.decode("cp1252", errors="replace")
    if "\0" in text:
        raise refused_at(shown, None, "this is not a text; a table of separated values was expected")
    return text


def _csv_rows(text: str, shown: str) -> list[Sequence[str]]:
    """Return the rows of separated values, cell by cell."""
    separator = _separator(text)
    reader = csv.reader(io.StringIO(text, newline=""), delimiter=separator)
    rows: list[Sequence[str]] = []
    try:
        for row in reader:
            # A quoted cell may hold line ends: a row is known by the line on which it ends.
            rows += [()] * (reader.line_num - 1 - len(rows)) + [row]
            if len(rows) > _MOST_ROWS:
                raise refused_at(shown, len(rows), f"more than {_MOST_ROWS} rows; part the file by year or machine")
    except csv.Error as error:
        raise refused_at(shown, reader.line_num, f"these are not separated values ({error})") from error
    return rows


def _separator(text: str) -> str:
    """Return the sign that parts the cells: the one that comes up equally often in most of the first lines."""
    lines = [line for line in text[:200_000].splitlines()[:200] if line.strip()]

    def steadiness(sign: str) -> tuple[int, int]:
        counts = Counter(line.count(sign) for line in lines if sign in line)
        count, often = max(counts.items(), key=lambda each: (each[1], each[0]), default=(0, 0))
        return often, count

    return max(_SEPARATORS, key=steadiness)


def _from_parquet(content: bytes, shown: str) -> Table:
    """Return the table of a Parquet file, if its own account of its size is in bounds."""
    try:
        file = pq.ParquetFile(io.BytesIO(content))
        meta = file.metadata
        size = sum(meta.row_group(at).total_byte_size for at in range(meta.num_row_groups))
        if meta.num_rows > _MOST_ROWS or meta.num_columns > _MOST_COLUMNS or size > 10 * _MOST_BYTES:
            raise refused_at(shown, None, f"more than {_MOST_ROWS} rows or {_MOST_COLUMNS} columns; part the file")
        columns = {str(name): values for name, values in file.read().to_pydict().items()}
    except (pa.ArrowException, OSError, ValueError, TypeError, KeyError, OverflowError, MemoryError) as error:
        raise refused_at(shown, None, "this is not a Parquet file that can be read") from error
    rows = enumerate(zip(*columns.values(), strict=True), start=1)
    return Table(
        shown, tuple(columns), tuple((at, tuple(map(_bounded, row))) for at, row in rows if any(map(_is_filled, row)))
    )


def _under_headings(grid: Sequence[Sequence[Any]], shown: str) -> Table:
    """Part headings from rows: the headings are the first row of texts that is about as wide as the table."""
    filled = [(number, row) for number, row in enumerate(grid, start=1) if any(map(_is_filled, row))]
    if not filled:
        raise refused_at(shown, None, "the file is empty; a row of headings and rows of records were expected")
    at = _heading_at(filled)
    headings = tuple(_heading(cell) for cell in filled[at][1])
    if len(headings) > _MOST_COLUMNS:
        raise _too_wide(shown)
    rows = tuple((number, tuple(map(_bounded, row))) for number, row in filled[at + 1 :])
    if len(rows) > _MOST_ROWS:
        raise refused_at(shown, None, f"more than {_MOST_ROWS} rows; part the file by year or machine")
    return Table(shown, headings, rows)


def _too_wide(shown: str) -> ScenarioError:
    return refused_at(shown, None, f"more than {_MOST_COLUMNS} columns; a table of records was expected")


def _heading_at(filled: Sequence[tuple[int, Sequence[Any]]]) -> int:
    """Return which of the rows has the headings."""
    first = filled[:_HEADING_WITHIN]
    widths = [sum(map(_is_filled, row)) for _, row in filled[: 5 * _HEADING_WITHIN]]
    usual = sorted(widths)[len(widths) // 2]
    wide = (at for at, (_, row) in enumerate(first) if widths[at] >= max(2, 0.6 * usual) and _is_words(row))
    return next(wide, 0)


def _is_words(row: Sequence[Any]) -> bool:
    """Whether a row has no figures: headings are texts."""
    return all(isinstance(cell, str) and not _FIGURE.fullmatch(cell) for cell in row if _is_filled(cell))


def _heading(cell: Any) -> str:
    """A heading on one line."""
    return " ".join(str(cell).split())[:100] if _is_filled(cell) else ""


def _is_filled(cell: Any) -> bool:
    """Whether anything stands in a cell."""
    return cell is not None and not (isinstance(cell, str) and not cell.strip())


def _bounded(cell: Any) -> Any:
    """A cell with no more text than a cell of a record has."""
    return cell[:_LONGEST_CELL] if isinstance(cell, str) else cell


def cells_under(table: Table, heading: str) -> Iterator[Any]:
    """The cells under one heading, row by row; None where a row is too short."""
    at = table.headings.index(heading)
    return (row[at] if at < len(row) else None for _, row in table.rows)
