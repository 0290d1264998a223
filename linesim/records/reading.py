"""Rows that can be used, and rows set aside with the reason: nothing is dropped in silence."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from datetime import datetime
from pathlib import Path
from typing import Any

from linesim.errors import hint_at, listed, quoted
from linesim.records.cells import DoubtError, count_in, is_missing, moment_in, name_in, number_in, word_in
from linesim.records.kinds import Column, Kind
from linesim.records.mapping import FileMapping, Heading
from linesim.records.mtconnect_assets import SHEET
from linesim.records.tables import RawRow, Table, content_of, table_in
from linesim.works.yaml_tree import refused_at

__all__ = ["Aside", "Record", "Records", "latest_looks", "read_records", "read_table"]


@dataclass(frozen=True)
class Record:
    """One row that can be used.

    Attributes
    ----------
    file : str
        The file, and its sheet.
    row : int
        Number of the row in it.
    kind : str
        Kind of record.
    values : mapping of str to object
        What stands in it, by column; only what is there.
    """

    file: str
    row: int
    kind: str
    values: Mapping[str, Any]

    def number(self, name: str) -> float | None:
        """Return a figure, or None if it is not there."""
        value = self.values.get(name)
        return None if value is None else float(value)

    def name(self, name: str) -> str:
        """Return a name or word, empty if it is not there."""
        return str(self.values.get(name, ""))

    @property
    def when(self) -> datetime | None:
        """The date of the record, if it has one."""
        return self.values.get("when") or self.values.get("start")


@dataclass(frozen=True)
class Aside:
    """One row that is set aside, or that is used with a remark.

    Attributes
    ----------
    file, row : str and int
        Where it stands.
    reason : str
        Why.
    is_used : bool
        Whether it is used all the same.
    """

    file: str
    row: int
    reason: str
    is_used: bool = False


@dataclass(frozen=True)
class Records:
    """All rows of all files.

    Attributes
    ----------
    rows : tuple of Record
        What can be used, in the order of the files.
    asides : tuple of Aside
        What is set aside or remarked on.
    files : tuple of str
        The files, with their sheets.
    """

    rows: tuple[Record, ...] = ()
    asides: tuple[Aside, ...] = ()
    files: tuple[str, ...] = ()

    def of(self, *kinds: str) -> list[Record]:
        """Return the rows of some kinds of record."""
        return [row for row in self.rows if row.kind in kinds]

    def __add__(self, other: Records) -> Records:
        """Return the rows of both."""
        return Records(self.rows + other.rows, self.asides + other.asides, self.files + other.files)


def read_records(mappings: Sequence[FileMapping], folder: Path) -> Records:
    """Read the files of a mapping.

    Parameters
    ----------
    mappings : sequence of FileMapping
        How each is read.
    folder : pathlib.Path
        Where their paths begin.

    Raises
    ------
    ScenarioError
        A file cannot be read, or has not the headings that the mapping names.
    """
    every = Records()
    for mapping in mappings:
        content = content_of(folder / mapping.file, mapping.file)
        every += read_table(table_in(content, mapping.file, mapping.sheet), mapping)
    return latest_looks(every)


def latest_looks(records: Records) -> Records:
    """Of several looks at one life, in documents recorded one after another, set all but the latest aside."""
    latest: dict[tuple[str, ...], Record] = {}
    for row in records.rows:
        if _is_look(row) and row.when is not None:
            before = latest.setdefault(_life_of(row), row)
            latest[_life_of(row)] = row if before.when is not None and row.when > before.when else before
    rows, asides = [], []
    for row in records.rows:
        last = latest.get(_life_of(row), row) if _is_look(row) else row
        rows += [row] if last is row else []
        text = f"an earlier look at an edge that {last.file}, row {last.row} has later"
        asides += [] if last is row else [Aside(row.file, row.row, text)]
    return Records(tuple(rows), (*records.asides, *asides), records.files)


def _is_look(row: Record) -> bool:
    """Whether a row is a look at a tool whose life may go on."""
    return row.kind == "tool changes" and row.file.casefold().endswith(f".xml ({SHEET})") and "edge" in row.values


def _life_of(row: Record) -> tuple[str, ...]:
    """What tells one life from others."""
    return tuple(map(row.name, ("set", "machine", "edge")))


def read_table(table: Table, mapping: FileMapping) -> Records:
    """Read one table by its mapping.

    Parameters
    ----------
    table : Table
        Headings and cells.
    mapping : FileMapping
        What they mean.

    Raises
    ------
    ScenarioError
        The table has not the headings that the mapping names.
    """
    at = {name: _column_at(table, column, mapping) for name, column in mapping.columns.items()}
    reader = _Reader(mapping, at)
    for row in table.rows:
        reader.read(row)
    return Records(tuple(reader.records), tuple(reader.asides), (mapping.shown,))


def _column_at(table: Table, column: Heading, mapping: FileMapping) -> int:
    """Return where a column stands."""
    count = table.headings.count(column.heading)
    if count == 1:
        return table.headings.index(column.heading)
    known = [heading for heading in table.headings if heading]
    where = "twice" if count else "nowhere"
    text = f"the heading {quoted(column.heading)} stands {where}; these are there: {listed(known)}"
    raise refused_at(
        mapping.shown, None, text, hint_at(column.heading, known) if not count else "Rename one of the two."
    )


@dataclass
class _Reader:
    """Reads the rows of one table, one after another."""

    mapping: FileMapping
    at: Mapping[str, int]
    records: list[Record] = field(default_factory=list)
    asides: list[Aside] = field(default_factory=list)
    seen: dict[tuple[Any, ...], int] = field(default_factory=dict)

    def read(self, row: RawRow) -> None:
        """Read one row, or set it aside."""
        number, cells = row
        values, doubts = self.values(cells)
        kind = self.mapping.kind
        doubts += (
            [f"{' or '.join(group)} is missing" for group in kind.needed if not set(group) & values.keys()]
            if not doubts
            else []
        )
        same = self.same(kind, values, number) if not doubts else None
        if doubts or (same is not None and not same[1]):
            self.asides.append(
                Aside(self.mapping.shown, number, "; ".join(doubts) if doubts else str(same and same[0]))
            )
            return
        if same is not None:
            self.asides.append(Aside(self.mapping.shown, number, same[0], is_used=True))
        self.records.append(Record(self.mapping.shown, number, kind.name, values))

    def values(self, cells: Sequence[Any]) -> tuple[dict[str, Any], list[str]]:
        """Return the values of a row, and what is doubtful in it."""
        given = {name: (value, "") for name, value in self.mapping.for_all.items()}
        for name, at in self.at.items():
            cell = cells[at] if at < len(cells) else None
            if not is_missing(cell):
                given[name] = (cell, self.mapping.columns[name].unit)
        values, doubts = {}, []
        for name, (cell, unit) in given.items():
            try:
                values[name] = self.value(self.mapping.kind.column(name), cell, unit)
            except DoubtError as doubt:
                doubts.append(f"{name}: {doubt}")
        return values, doubts

    def value(self, column: Column, cell: Any, unit: str) -> Any:
        """Return the value of one cell."""
        writing = self.mapping.writing
        if column.holds == "number":
            return number_in(cell, column.unit, unit or column.unit, writing, (column.least, column.most))
        if column.holds == "count":
            return count_in(cell, writing, column.most)
        if column.holds == "moment":
            return moment_in(cell, writing)
        return word_in(cell, column.words, self.mapping.words) if column.holds == "word" else name_in(cell)

    def same(self, kind: Kind, values: Mapping[str, Any], number: int) -> tuple[str, bool] | None:
        """Say which earlier row this one repeats, and whether it is used all the same.

        Two rows are one record only where a date, an edge or a number of the reading tells records apart.
        """
        key = tuple(values.get(name) for name in kind.key)
        if not key:
            return None
        first = self.seen.setdefault(key, number)
        if first == number:
            return None
        tells = {"when", "start", "edge", "repeat"} & values.keys()
        text = f"the same as row {first}"
        return (
            (f"{text}: a duplicate", False)
            if tells
            else (f"{text}; used, as no date or number tells that they are one record", True)
        )
