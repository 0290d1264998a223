"""The sheets of a workbook and their columns, worked out from the models alone: a new entry has its column at once.

Entries with names of the user's choosing (operations, cuts, cutters) become a sheet with a row for each; groups of
entries within become columns of that row; what stands at the top of a scenario becomes a list of entries.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import lru_cache
from typing import NamedTuple

from pydantic.fields import FieldInfo

from linesim.units import MoneyQuantity, Quantity
from linesim.works.base import Strict
from linesim.works.book.naming import ANY, ITEM, keys_of, titles_of
from linesim.works.model import Works
from linesim.works.nodes import Path
from linesim.works.shape import Shape, shape_at

__all__ = ["Column", "Layout", "Table", "layout_of"]


@dataclass(frozen=True)
class Column:
    """A column of a sheet, or a row of a list of entries.

    Parameters
    ----------
    path : tuple of str and int
        From the group of the row; a number is an item of a list of fixed length. Empty where the row is one value.
    shape : Shape
        What may stand there.
    note : str
        What the entry means.
    is_required : bool
        Whether the models ask for it wherever its group is given.
    usual : str
        What holds where it is empty, as far as the note leaves it open.
    is_mark : bool
        Whether it only says that the group is there, all its entries being left at their usual values.
    """

    path: Path
    shape: Shape
    note: str
    is_required: bool = False
    usual: str = ""
    is_mark: bool = False

    @property
    def words(self) -> str:
        """The heading without its unit."""
        words = [key if isinstance(key, str) else ("least", "greatest")[key] for key in self.path]
        return " ".join(words).replace("_", " ") or "value"

    @property
    def choices(self) -> tuple[str, ...]:
        """The words of which one may stand there."""
        return (*self.shape.words, *self.shape.also)

    @property
    def is_money(self) -> bool:
        """Whether it holds an amount of money."""
        return isinstance(self.shape.quantity, MoneyQuantity)


@dataclass(frozen=True)
class Table:
    """A sheet.

    Parameters
    ----------
    path : tuple of str
        From the top of the scenario to a row, with `ANY` for each name and `ITEM` for an item of a list; empty for a
        list of entries of the top.
    title : str
        Name of the sheet.
    keys : tuple of str
        Headings of the columns of names, one for each `ANY`, and of the numbers of items.
    columns : tuple of Column
        The entries of a row.
    note : str
        What a row is.
    is_required : bool
        Whether a scenario has at least one row of it.
    former : tuple of Column
        Columns for what has a sheet of its own; a workbook that was written when they stood here is read as it is.
    """

    path: Path
    title: str
    keys: tuple[str, ...]
    columns: tuple[Column, ...]
    note: str
    is_required: bool = False
    former: tuple[Column, ...] = ()

    @property
    def is_items(self) -> bool:
        """Whether its rows are the items of lists, each by its number, in the last column of names."""
        return self.path[-1:] == (ITEM,)

    @property
    def is_list(self) -> bool:
        """Whether it has a row for each entry and not a column."""
        return not self.path

    @property
    def is_implied(self) -> bool:
        """Whether its rows may be left out, as those of the sheets below name them and little else is said of them."""
        return len(self.columns) < len(self.keys) and not self.is_items


@dataclass(frozen=True)
class Layout:
    """All sheets, those that others refer to first.

    Parameters
    ----------
    tables : tuple of Table
        In the order in which they are read.
    """

    tables: tuple[Table, ...]

    def above(self, table: Table) -> list[Table]:
        """Return the sheets in whose rows the rows of a sheet stand, from the top."""
        return [
            other for other in self.tables if other.path and other.path == table.path[: len(other.path)] != table.path
        ]

    def titled(self, title: str) -> Table:
        """Return a sheet by its name."""
        return next(table for table in self.tables if table.title == title)


@lru_cache(maxsize=8)
def layout_of(root: type[Strict] = Works) -> Layout:
    """Work out the sheets of the workbooks of a kind of scenario.

    Parameters
    ----------
    root : type
        The model of the whole scenario.

    Returns
    -------
    Layout

    >>> [table.title for table in layout_of().tables][:5]
    ['Works', 'Prices', 'Line', 'Features', 'Operations']
    """
    builder = _Builder(root)
    builder.add(())
    top, *tables = builder.tables
    money = tuple(column for column in top.columns if column.is_money)
    rest = tuple(column for column in top.columns if not column.is_money)
    lists = [
        replace(top, columns=rest),
        Table((), "Prices", (), money, "Amounts of money that hold for the whole works."),
    ]
    return Layout((*lists, *_titled(_in_order(tables))))


class _Below(NamedTuple):
    """What has a sheet of its own: where its rows stand, what they are, and the column that it once had instead."""

    path: Path
    note: str
    is_required: bool = False
    column: Column | None = None


class _Builder:
    """Walks the models and notes the sheets."""

    def __init__(self, root: type[Strict]) -> None:
        self.root = root
        self.tables: list[Table] = []

    def add(self, path: Path, note: str = "", *, is_required: bool = False) -> None:
        """Note a sheet, and those for what has names of its own within a row."""
        columns: list[Column] = []
        below: list[_Below] = []
        shape = self._shape(path)
        if shape.model is None or shape.model.in_one_cell:
            columns.append(Column((), shape, note, is_required=True))
        else:
            self._entries(path, (), columns, below)
        former = tuple(inner.column for inner in below if inner.column is not None)
        self.tables.append(Table(path, "Works", keys_of(path), tuple(columns), note, is_required, former))
        for inner in below:
            self.add(inner.path, inner.note, is_required=inner.is_required and not path)

    def _entries(self, path: Path, within: Path, columns: list[Column], below: list[_Below]) -> None:
        """Note the columns of one group of entries."""
        model = self._shape((*path, *within)).model
        assert model is not None
        for name, entry in model.model_fields.items():
            inner = (*within, name)
            shape, note = self._shape((*path, *inner)), " ".join(model.entry_words(name).split())
            if shape.named:
                below.append(_Below(self._down((*path, *inner, ANY)), note, entry.is_required()))
            elif shape.model is not None and not shape.model.in_one_cell:
                columns += _own_column(inner, shape, note, entry)
                self._entries(path, inner, columns, below)
            elif self._is_list_of_groups((*path, *inner), shape):
                below.append(_Below((*path, *inner, ITEM), note, column=Column(inner, shape, note)))
            elif shape.count:
                columns += self._items(path, inner, shape.count, note, entry)
            else:
                columns.append(Column(inner, shape, note, entry.is_required(), _usual(entry)))

    def _items(self, path: Path, inner: Path, count: int, note: str, entry: FieldInfo) -> list[Column]:
        """Return a column for each item of a list of fixed length."""
        item = self._shape((*path, *inner, 0))
        return [Column((*inner, number), item, note, entry.is_required()) for number in range(count)]

    def _is_list_of_groups(self, path: Path, shape: Shape) -> bool:
        """Whether a list stands at a path, each of whose items has entries of its own."""
        item = self._shape((*path, ITEM)) if shape.items is not None and not shape.count else Shape()
        return item.model is not None and not item.model.in_one_cell

    def _down(self, path: Path) -> Path:
        """Return the path of the rows where named entries hold named entries in their turn."""
        while (shape := self._shape(path)).named and shape.model is None:
            path = (*path, ANY)
        return path

    def _shape(self, path: Path) -> Shape:
        """Return what may stand at a path; a time, or a list of figures, is read as its figures are."""
        shape = shape_at(self.root, path) or Shape()
        if shape.model is not None and shape.model.in_one_cell:
            return replace(shape, quantity=self._quantity((*path, "fixed")))
        if shape.items is not None and not shape.named and not shape.count:
            return replace(shape, quantity=self._quantity((*path, 0)))
        return shape

    def _quantity(self, path: Path) -> Quantity | None:
        """Return how figures at a path are read."""
        shape = shape_at(self.root, path)
        return None if shape is None else shape.quantity


def _own_column(inner: Path, shape: Shape, note: str, entry: FieldInfo) -> list[Column]:
    """Return the column of a group that may also be a plain value, or be given without any entry of its own."""
    if shape.words or shape.also or shape.quantity is not None or len(shape.expected) > 1:
        return [Column(inner, shape, note, entry.is_required() and not shape.model, _usual(entry))]
    assert shape.model is not None
    may_be_bare = not any(field.is_required() for field in shape.model.model_fields.values())
    is_optional = not entry.is_required() and entry.get_default(call_default_factory=True) is None
    return [Column(inner, shape, note, is_mark=True)] if may_be_bare and is_optional else []


def _usual(entry: FieldInfo) -> str:
    """Return what holds where an entry is not given, if it is one figure or word."""
    value = None if entry.is_required() else entry.get_default(call_default_factory=True)
    if isinstance(value, bool):
        return "yes" if value else "no"
    return f"{value:.4g}" if isinstance(value, (int, float)) else value if isinstance(value, str) else ""


_FIRST = ("lines", "features", "operations", "strokes", "cuts", "cutters", "gauges", "people", "policies")


def _in_order(tables: list[Table]) -> list[Table]:
    """Return the sheets of a routing first, then the others as the models name them."""

    def rank(table: Table) -> int:
        names = [key for key in table.path if key not in (ANY, ITEM)]
        is_main = len(names) == table.path.count(ANY) and table.path[0] != "now" and names[-1] in _FIRST
        return _FIRST.index(str(names[-1])) if is_main else len(_FIRST)

    return sorted(tables, key=rank)


def _titled(tables: list[Table]) -> list[Table]:
    """Return the sheets with their names."""
    titles = titles_of([table.path for table in tables])
    return [replace(table, title=titles[table.path]) for table in tables]
