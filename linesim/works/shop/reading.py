"""A routing sheet is found in a workbook or in a file of comma-separated values, and read."""

from __future__ import annotations

import csv
import io
from pathlib import PurePath

from linesim.errors import Problem, ScenarioError
from linesim.works.book.further import FURTHER
from linesim.works.book.headings import folded, is_note
from linesim.works.book.layout import layout_of
from linesim.works.book.spots import Raw, Sheet
from linesim.works.book.trees import COVER, LISTS, Grids
from linesim.works.nodes import Node, collected
from linesim.works.shop.headings import COLUMNS, head_of, is_like_a_head, plain_words
from linesim.works.shop.rows import steps_in
from linesim.works.shop.tree import works_tree
from linesim.works.yaml_tree import refused_at

__all__ = ["grid_of_csv", "is_routing_sheet", "read_routing_sheet"]

_FIRST_ROWS = 30
"""Above the headings there may be a title and the like."""
_MOST_ROWS, _MOST_COLUMNS = 25_000, 1_000
_SURE = 5
_OF_ONES_OWN = ("works", "line", "policies")
"""Sheets that only a workbook of a whole scenario has."""
_PART = ("part", "part name", "component", "component name", "name of part", "teil", "benennung", "werkstück")
_NO_NAME = ("csv", "sheet", "table", "tabelle", "blatt", "routing", "routing sheet", "arbeitsplan", "")
_CSV = "CSV"


def is_routing_sheet(grids: Grids) -> bool:
    """Whether a workbook holds a routing sheet and no scenario of linesim's own.

    Parameters
    ----------
    grids : mapping of str to rows
        What stands in the cells of each sheet.
    """
    own = {folded(table.title) for table in layout_of().tables} | {folded(title) for title in (FURTHER, COVER, LISTS)}
    titles = {folded(title): title for title, grid in grids.items() if grid}
    if any(title in titles for title in _OF_ONES_OWN):
        return False
    return not own & titles.keys() or any(_head_row(grids[title], _SURE) is not None for title in titles.values())


def read_routing_sheet(grids: Grids, shown: str, problems: list[Problem] | None) -> Node:
    """Read the routing sheet among the sheets of a file.

    Parameters
    ----------
    grids : mapping of str to rows
        What stands in the cells of each sheet.
    shown : str
        Name of the file.
    problems : list of Problem or None
        Takes what is wrong with single cells; raised here if None.

    Returns
    -------
    Node
        The tree of a works.

    Raises
    ------
    ScenarioError
        There is no routing sheet, or more than one, or none of its rows can be read.
    """
    with collected(problems) as wrong:
        sheets = [Sheet(title, at, grid, shown, wrong) for at, (title, grid) in enumerate(grids.items(), start=1)]
        heads = [(sheet, _head_row(sheet.grid)) for sheet in sheets if not is_note(sheet.title)]
        routed = [(sheet, row) for sheet, row in heads if row is not None]
        if len(routed) != 1:
            raise _not_one(shown, [sheet.title for sheet, _ in routed])
        sheet, row = routed[0]
        head = head_of(sheet, row)
        steps = steps_in(sheet, head)
        if not steps:
            raise ScenarioError([])  # why has been said
        return works_tree(steps, _name_of(sheet, row, shown), sheet.spot(row, 0))


def grid_of_csv(content: bytes, shown: str) -> Grids:
    """Return the cells of a file of comma-separated values; semicolons and tabs part them as well.

    Parameters
    ----------
    content : bytes
        In UTF-8, or in the letters that spreadsheets of Western Europe write.
    shown : str
        Name of the file.

    Raises
    ------
    ScenarioError
        It is no such file, or too long.
    """
    try:
        text = content.decode("utf-8-sig")
    except UnicodeDecodeError:
        text = content.decode("cp1252", errors="replace")
    if "\0" in text:
        raise refused_at(shown, None, "this is no file of comma-separated values; a routing sheet was expected")
    top = text[:4000]
    delimiter = max(";\t,", key=top.count)
    rows: list[list[Raw]] = []
    try:
        for row in csv.reader(io.StringIO(text, newline=""), delimiter=delimiter):
            if len(rows) >= _MOST_ROWS or len(row) > _MOST_COLUMNS:
                bounds = f"{_MOST_ROWS} rows or {_MOST_COLUMNS} columns"
                raise refused_at(shown, len(rows) + 1, f"more than {bounds}; a routing sheet was expected")
            rows.append([cell if cell.strip() else None for cell in row])
    except csv.Error as error:
        raise refused_at(shown, len(rows) + 1, f"this row cannot be read: {error}") from error
    return {_CSV: rows}


def _head_row(grid: list[list[Raw]] | object, least: int = 3) -> int | None:
    """Return which row holds the headings; None if none does."""
    rows = grid[:_FIRST_ROWS]  # type: ignore[index]
    return next((at for at, row in enumerate(rows) if is_like_a_head(row, least)), None)


def _not_one(shown: str, titles: list[str]) -> ScenarioError:
    """Return the error for a file without a routing sheet, or with several."""
    if titles:
        text = f"{len(titles)} sheets look like routing sheets ({', '.join(titles[:5])}); one was expected"
        return refused_at(shown, None, text, 'A sheet is passed over if its name begins with "note".')
    headings = ", ".join(column.heading for column in COLUMNS.values())
    text = f"neither a scenario nor a routing sheet; sheets of a scenario, or a row with these headings: {headings}"
    return refused_at(
        shown, None, f"{text}, was expected", "linesim workbook --routing-sheet my-part.xlsx writes one to fill in."
    )


def _name_of(sheet: Sheet, head: int, shown: str) -> str:
    """Return what the part is called: by a cell above the headings, by the sheet, or by the file."""
    for row in range(head):
        for at in range(min(len(sheet.grid[row]), 20)):
            if plain_words(sheet.text(row, at)) in _PART and (name := sheet.text(row, at + 1)):
                return name[:200]
    title = sheet.title if plain_words(sheet.title).rstrip(" 0123456789") not in _NO_NAME else ""
    return (title or PurePath(shown).stem or "part")[:200]
