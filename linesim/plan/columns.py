"""Rows on the way to becoming a table of the plan."""

from __future__ import annotations

import typing
from functools import cache
from typing import Any, Generic, TypeVar

import numpy as np

from linesim.plan import tables

__all__ = ["Rows"]

Table = TypeVar("Table", bound=tuple[Any, ...])


class Rows(Generic[Table]):
    """Rows of one kind of table, each given by its column names."""

    def __init__(self, kind: type[Table]) -> None:
        self.kind = kind
        self._columns: dict[str, list[Any]] = {name: [] for name in kind.__annotations__}

    def __len__(self) -> int:
        return len(next(iter(self._columns.values())))

    def add(self, **row: Any) -> int:
        """Add one row; every column must be named. Returns its number."""
        if row.keys() != self._columns.keys():
            odd = ", ".join(sorted(row.keys() ^ self._columns.keys()))
            raise TypeError(f"{self.kind.__name__}: columns missing or unknown: {odd}")
        for name, value in row.items():
            self._columns[name].append(value)
        return len(self) - 1

    def table(self) -> Table:
        """The rows as arrays of the types that the table declares."""
        types = _types(self.kind)
        return self.kind(**{name: np.array(values, dtype=types[name]) for name, values in self._columns.items()})


@cache
def _types(kind: type[Any]) -> dict[str, type[np.generic]]:
    """Types of a table's columns by name; looked up once, as plans of thousands of policies are made."""
    hints = typing.get_type_hints(kind, vars(tables))
    return {name: np.int64 if hint == tables.Ints else np.float64 for name, hint in hints.items()}
