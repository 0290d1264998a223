"""The sheets of a workbook become the tree that a file of text would become, in which every value knows its cell."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from typing import Any

from linesim.errors import Cell, Problem, hint_at, quoted
from linesim.works.base import Strict
from linesim.works.book.cells import name_in, node_in
from linesim.works.book.further import FURTHER, path_in, value_in
from linesim.works.book.growing import Growing
from linesim.works.book.headings import EXAMPLE, Read, columns_of, folded, is_example, is_note, parted, unit_in
from linesim.works.book.layout import Layout, Table, layout_of
from linesim.works.book.naming import ANY, ITEM
from linesim.works.book.spots import Raw, Sheet, Spot, refuse
from linesim.works.model import Works
from linesim.works.nodes import UNREADABLE, Node, Path

__all__ = ["COVER", "LISTS", "Grids", "tree_of"]

Grids = Mapping[str, Sequence[Sequence[Raw]]]
"""Rows of every sheet, from its first cell on."""

COVER, LISTS = "Read me", "Lists"
"""The sheets that say how to fill in the others, and that hold what cells offer to choose from; they are not read."""


def tree_of(grids: Grids, file: str, problems: list[Problem], root: type[Strict] = Works) -> Node:
    """Read the sheets of a workbook.

    Parameters
    ----------
    grids : mapping of str to rows
        What stands in the cells of each sheet.
    file : str
        Name of the workbook.
    problems : list of Problem
        Takes what is wrong with single cells.
    root : type
        The model of the whole scenario.

    Returns
    -------
    Node
        A group of entries from the top.

    Raises
    ------
    ScenarioError
        If it holds more values than a scenario may.
    """
    sheets = [Sheet(title, number, grid, file, problems) for number, (title, grid) in enumerate(grids.items(), start=1)]
    return _Book(sheets, Growing(file), layout_of(root)).tree()


_DIGITS = 7
_OWN_SHEET = 'A sheet of your own is passed over if its name begins with "note".'


class _Book:
    """The sheets under way to a tree."""

    def __init__(self, sheets: list[Sheet], growing: Growing, layout: Layout) -> None:
        self.sheets = {folded(sheet.title): sheet for sheet in sheets}
        self.growing, self.layout = growing, layout
        self.currency = "EUR"
        self.rows: dict[Path, Cell] = {}
        self.items: dict[Path, int] = {}
        """Lists whose items stand in rows, each with the greatest number so far."""

    def tree(self) -> Node:
        """Return the whole tree."""
        self._refuse_strangers()
        for table in self.layout.tables:
            sheet = self.sheets.get(folded(table.title))
            if sheet is not None and table.is_list:
                self._read_list(table, sheet)
            elif sheet is not None:
                self._read_table(table, sheet)
        for path in self.items:
            self.growing.gather(path)
        if folded(FURTHER) in self.sheets:
            self._read_further(self.sheets[folded(FURTHER)])
        for table in self.layout.tables:
            self._ask_for(table)
        return self.growing.top

    def _refuse_strangers(self) -> None:
        """Say of each sheet that has no part in a scenario what it was most likely meant to be."""
        known = [*(table.title for table in self.layout.tables), FURTHER, COVER, LISTS]
        names = {folded(name) for name in known}
        for name, sheet in self.sheets.items():
            if name not in names and not is_note(name) and next(sheet.rows(), None) is not None:
                text = f"there is no sheet {quoted(sheet.title)} in a scenario; one of its sheets was expected"
                sheet.refuse(0, 0, text, hint_at(sheet.title, known) or _OWN_SHEET)

    def _read_list(self, table: Table, sheet: Sheet) -> None:
        """Read a sheet with a row for each entry: its words, its value, its unit."""
        columns = {folded(column.words): column for column in (*table.columns, *table.former)}
        rows = sheet.rows()
        next(rows, None)  # the headings
        for number in rows:
            words, value = parted(sheet.text(number, 0))[0], sheet.raw(number, 1)
            if sheet.is_empty(number, 1) or is_note(words):
                continue
            if words not in columns:
                text = f"there is no entry {quoted(words)} on this sheet; one of its entries was expected"
                sheet.refuse(number, 0, text, hint_at(words, columns))
                continue
            column, spot = columns[words], sheet.spot(number, 1)
            self._note_currency(words, value)
            unit = unit_in(sheet.text(number, 2), column.shape.quantity, self.currency, sheet.spot(number, 2))
            node = None if unit is None else node_in(value, column.shape, spot, unit)
            if node is not None:
                self.growing.put(column.path, node, spot)

    def _ask_for(self, table: Table) -> None:
        """Say of a sheet what no scenario does without, at the cell where it would stand."""
        sheet, entries = self.sheets.get(folded(table.title)), self.growing.top.value
        for column in table.columns if table.is_list else ():
            name = str(column.path[0])
            if column.is_required and len(column.path) == 1 and name not in entries and sheet is not None:
                words = [parted(sheet.text(number, 0))[0] for number in range(len(sheet.grid))]
                at = words.index(folded(column.words)) if folded(column.words) in words else 0
                text = f"the {column.words} is missing; {column.shape.in_words} was expected"
                entries[name] = refuse(sheet.spot(at, 1), text)
        if table.is_required and table.path[0] not in entries and sheet is not None:
            text = f"no row is filled in; at least one {table.keys[-1]} was expected"
            hint = f'A row that begins with "{EXAMPLE}" shows how, and is not read.'
            entries[table.path[0]] = refuse(sheet.spot(1, 0), text, hint)

    def _note_currency(self, words: str, value: Raw) -> None:
        """Keep the currency in mind, in which headings give their amounts."""
        if words == "currency" and isinstance(value, str) and re.fullmatch(r"[A-Za-z]{1,12}", value.strip()):
            self.currency = value.strip()

    def _read_table(self, table: Table, sheet: Sheet) -> None:
        """Read a sheet with a row for each name."""
        rows = sheet.rows()
        head = next(rows, None)
        if head is None:
            return
        names = self._names(table, sheet, head)
        others = ["" if at in names else sheet.text(head, at) for at in range(len(sheet.grid[head]))]
        spots = [(heading, sheet.spot(head, at)) for at, heading in enumerate(others)]
        columns = columns_of(spots, (*table.columns, *table.former), self.currency)
        before: list[str] = []
        for number in rows:
            if not is_example(sheet.grid[number]):
                before = self._row(_Row(table, sheet, number, names), columns, before) or before

    def _names(self, table: Table, sheet: Sheet, head: int) -> list[int | None]:
        """Return which columns hold the names; that of the line may be left out."""
        words = [parted(sheet.text(head, at))[0] for at in range(len(sheet.grid[head]))]
        names = [words.index(key) if key in words else None for key in table.keys]
        for key, at in zip(table.keys, names, strict=True):
            if at is None and key != "line":
                text = f"there is no column {quoted(key)} on this sheet; one with that heading was expected"
                sheet.refuse(head, 0, text, hint_at(key, words))
        return names

    def _row(self, row: _Row, columns: list[Read], before: list[str]) -> list[str] | None:
        """Read one row, and return the names that it stands for; None if they are not known."""
        keys = self._numbered(row, row.keys(before, self.growing.names("lines")))
        if keys is None or not self._is_under_a_row(row, path := _filled(row.table.path, keys)):
            return keys
        if path in self.rows:
            row.refuse(-1, f"{quoted(keys[-1])} is given twice, here and in {self.rows[path].name}; once was expected")
            return keys
        mark = row.spot(-1)
        self.rows[path] = mark.cell
        if row.table.is_items:
            self.items[path[:-1]] = max(self.items.get(path[:-1], 0), int(keys[-1]))
        if row.table.columns[0].path:
            self.growing.group(path, mark)
        for at, column, unit in columns:
            spot = row.sheet.spot(row.number, at)
            node = node_in(row.sheet.raw(row.number, at), column.shape, spot, unit)
            if node is not None:
                self.growing.put((*path, *column.path), node, spot)
        return keys

    def _numbered(self, row: _Row, keys: list[str] | None) -> list[str] | None:
        """Return the names of a row, an item of a list with its number: an empty one is the next."""
        if keys is None or not row.table.is_items:
            return keys
        *names, number = keys
        if number.isascii() and number.isdigit() and len(number) < _DIGITS and int(number) >= 1:
            return [*names, str(int(number))]
        if not number:
            return [*names, str(self.items.get(_filled(row.table.path, keys)[:-1], 0) + 1)]
        text = f"{quoted(number)} was found; the number of the {row.table.keys[-1]} was expected, such as 1"
        row.refuse(-1, text, "Leave it empty for the next one.")
        return None

    def _is_under_a_row(self, row: _Row, path: Path) -> bool:
        """Whether the rows that a row belongs to are there on the sheets of their own."""
        for above in self.layout.above(row.table):
            group = path[: len(above.path)]
            if group in self.rows or above.is_implied:
                continue
            name, key = str(group[-1]), above.keys[-1]
            others = [str(other[-1]) for other in self.rows if other[:-1] == group[:-1]]
            text = f"{quoted(name)} is no {key} of the sheet {above.title}; one of its names was expected"
            row.refuse(len(above.keys) - 1, text, hint_at(name, others))
            return False
        return True

    def _read_further(self, sheet: Sheet) -> None:
        """Read the sheet of entries by their paths, which go over what the others say."""
        rows = sheet.rows()
        next(rows, None)  # the headings
        for number in rows:
            if is_example(sheet.grid[number]):
                continue
            spot = sheet.spot(number, 0)
            path, node = path_in(sheet.raw(number, 0), spot), value_in(sheet.raw(number, 1), sheet.spot(number, 1))
            if path and node.value is not UNREADABLE:
                self.growing.group(path[:-1], spot).value[path[-1]] = node


class _Row:
    """One row of a sheet, and which of its columns hold names."""

    def __init__(self, table: Table, sheet: Sheet, number: int, names: list[int | None]) -> None:
        self.table, self.sheet, self.number, self.names = table, sheet, number, names

    def spot(self, key: int) -> Spot:
        """Return where one of its names stands."""
        at = self.names[key]
        return self.sheet.spot(self.number, 0 if at is None else at)

    def refuse(self, key: int, text: str, hint: str = "") -> None:
        """Write down what is wrong with one of its names."""
        at = self.names[key]
        self.sheet.refuse(self.number, 0 if at is None else at, text, hint)

    def keys(self, before: list[str], lines: list[str]) -> list[str] | None:
        """Return the names that it stands for; an empty one is that of the only line, or of the row above."""
        keys: list[str] = []
        for at, (heading, column) in enumerate(zip(self.table.keys, self.names, strict=True)):
            name = "" if column is None else name_in(self.sheet.raw(self.number, column), self.spot(at))
            if not name and heading == "line" and len(lines) == 1:
                name = lines[0]
            if not name and at < len(self.table.keys) - 1 and before:
                name = before[at]
            if not name and not (self.table.is_items and at == len(self.table.keys) - 1):
                self.refuse(at, f"missing; the name of the {heading} was expected")
                return None
            keys.append(name)
        return keys


def _filled(pattern: Path, keys: Sequence[str]) -> tuple[Any, ...]:
    """Return a path with the names of a row in it."""
    left = iter(keys)
    return tuple(next(left) if key in (ANY, ITEM) else key for key in pattern)
