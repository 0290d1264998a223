"""A works becomes the rows of the sheets of its workbook, which read back to the very same; no look yet."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass, field
from typing import Any

from linesim.quantity import Quantity
from linesim.works.base import Strict
from linesim.works.book.braces import written_out
from linesim.works.book.cells import shown_cell
from linesim.works.book.figures import INCHES, converted_to, shown_unit
from linesim.works.book.further import FURTHER, shown_path
from linesim.works.book.layout import Column, Table, layout_of
from linesim.works.book.naming import ANY, ITEM
from linesim.works.book.spots import Raw
from linesim.works.book.trees import tree_of
from linesim.works.model import Works
from linesim.works.nodes import Path
from linesim.works.shape import Shape, shape_at

__all__ = ["LIST_HEADINGS", "Filled", "filled_sheets", "further_grid", "grids_of", "heading_of"]

LIST_HEADINGS = ("entry", "value", "unit")
_FURTHER_HEADINGS = ("entry", "value")
_NOTHING: Any = object()
_CHANGED = re.compile(r"\r|_x[0-9A-Fa-f]{4}_")
"""What does not come back out of a cell as it was written; it goes to the sheet of further entries."""


@dataclass
class Filled:
    """A sheet with its rows.

    Parameters
    ----------
    table : Table
        What it is.
    rows : list of list
        Names and values of each row, by the columns of the table; of a list one value for each entry, in one row.
    is_inch : bool
        Whether figures are in inches and what goes with them.
    currency : str
        Of the scenario.
    """

    table: Table
    is_inch: bool
    currency: str
    rows: list[list[Raw]] = field(default_factory=list)

    @property
    def used(self) -> list[bool]:
        """For each column of values, whether any row has something in it."""
        start = len(self.table.keys)
        return [any(row[start + at] is not None for row in self.rows) for at in range(len(self.table.columns))]

    def grid(self) -> list[list[Raw]]:
        """Return the cells as they stand in the sheet."""
        units = [shown_unit(column.shape.quantity, self.currency, self.is_inch) for column in self.table.columns]
        if self.table.is_list:
            values = self.rows[0] if self.rows else [None] * len(units)
            triples = zip(self.table.columns, values, units, strict=True)
            lines: list[list[Raw]] = [[column.words, value, unit or None] for column, value, unit in triples]
            return [[*LIST_HEADINGS], *lines]
        head = [heading_of(column, unit) for column, unit in zip(self.table.columns, units, strict=True)]
        return [[*self.table.keys, *head], *self.rows]


def heading_of(column: Column, unit: str) -> str:
    """Return the heading of a column, with its unit."""
    return f"{column.words} ({unit})" if unit else column.words


def filled_sheets(
    content: dict[str, Any], root: type[Strict] = Works, is_inch: bool = False
) -> tuple[list[Filled], dict[Path, Any]]:
    """Return the sheets of what a scenario says, and what only the sheet of further entries can hold.

    Parameters
    ----------
    content : dict
        Plain values, as `linesim.works.writing.plain` gives them.
    root : type
        The model of the whole scenario.
    is_inch : bool
        Write lengths in inches, and what goes with them; a figure that would not come back the same keeps its unit.

    Returns
    -------
    list of Filled
        All sheets, also those without rows.
    dict
        By path.
    """
    currency = str(content.get("currency", "EUR"))
    sheets = [_filled(Filled(table, False, currency), content) for table in layout_of(root).tables]
    back = tree_of(grids_of(sheets, {}), "", [], root).plain()
    further = dict(_differences(content, back, (), root))
    return [_filled(Filled(sheet.table, is_inch, currency), content) for sheet in sheets], further


def grids_of(sheets: list[Filled], further: dict[Path, Any]) -> dict[str, list[list[Raw]]]:
    """Return the cells of all sheets by their names.

    Parameters
    ----------
    sheets : list of Filled
        Those with rows, and those without.
    further : dict
        What only the sheet of further entries holds, by path.
    """
    return {**{sheet.table.title: sheet.grid() for sheet in sheets}, FURTHER: further_grid(further)}


def further_grid(further: dict[Path, Any]) -> list[list[Raw]]:
    """Return the cells of the sheet of further entries."""
    lines: list[list[Raw]] = [[shown_path(path), written_out(value)] for path, value in further.items()]
    return [[*_FURTHER_HEADINGS], *lines]


def _filled(sheet: Filled, content: dict[str, Any]) -> Filled:
    """Fill in the rows of a sheet; of one whose rows go without saying only if they say something."""
    table = sheet.table
    sheet.rows = [
        _names_of(table, keys) + [_cell(column, _at(entries, column.path), sheet.is_inch) for column in table.columns]
        for keys, entries in _entries(content, table.path, ())
        if not any(map(_CHANGED.search, keys))
    ]
    if table.is_implied and table.columns[0].path and not any(sheet.used):
        sheet.rows = []
    return sheet


def _names_of(table: Table, keys: tuple[str, ...]) -> list[Raw]:
    """Return the cells of the names of a row; the number of an item of a list is one."""
    return [*keys[:-1], int(keys[-1])] if table.is_items else [*keys]


def _entries(content: Any, pattern: Path, keys: tuple[str, ...]) -> Iterator[tuple[tuple[str, ...], Any]]:
    """Yield the names and the content of every group that a pattern leads to."""
    if not pattern:
        yield keys, content
    elif isinstance(content, list) and pattern[0] == ITEM:
        for number, inner in enumerate(content, start=1):
            yield from _entries(inner, pattern[1:], (*keys, str(number)))
    elif isinstance(content, dict):
        first, *rest = pattern
        if first == ANY:
            for name, inner in content.items():
                yield from _entries(inner, tuple(rest), (*keys, name))
        elif first in content:
            yield from _entries(content[first], tuple(rest), keys)


def _at(entries: Any, path: Path) -> Any:
    """Return what stands at a path within a row."""
    for key in path:
        is_there = key in entries if isinstance(entries, dict) else isinstance(entries, list) and isinstance(key, int)
        if not is_there:
            return _NOTHING
        entries = entries[key]
    return entries


def _cell(column: Column, value: Any, is_inch: bool) -> Raw:
    """Return what is written into a cell."""
    shape = column.shape
    if value is _NOTHING or value is None or (isinstance(value, dict) and value and not _in_one_cell(shape)):
        return None
    if is_inch and shape.quantity is not None and shape.quantity.unit in INCHES:
        value = _in_inches(value, shape.quantity)
    cell = shown_cell(value, shape)
    return None if isinstance(cell, str) and _CHANGED.search(cell) else cell


def _in_inches(value: Any, quantity: Quantity) -> Any:
    """Return a figure, or a list of them, in inches or the like; what would not come back keeps its unit."""
    if isinstance(value, list):
        return [_in_inches(item, quantity) for item in value]
    if isinstance(value, bool) or not isinstance(value, (int, float)):
        return value
    figure = converted_to(quantity, value, INCHES[quantity.unit])
    return f"{value:.15g} {quantity.unit}" if figure is None else figure


def _in_one_cell(shape: Shape) -> bool:
    """Whether a group is written out in the one cell."""
    return shape.model is None or shape.model.in_one_cell


def _differences(content: Any, back: Any, path: Path, root: type[Strict]) -> Iterator[tuple[Path, Any]]:
    """Yield what was not read back as it was written, as far down as names and their order lead."""
    shape = shape_at(root, path)
    is_order_lost = shape is not None and shape.named and isinstance(back, dict) and [*content] != [*back]
    if isinstance(content, dict) and isinstance(back, dict) and content and not is_order_lost:
        for name, value in content.items():
            yield from _differences(value, back.get(name, _NOTHING), (*path, name), root)
    elif is_order_lost or content != back or isinstance(content, bool) != isinstance(back, bool):
        yield path, content
