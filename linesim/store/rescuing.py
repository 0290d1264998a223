"""What can be read of a damaged store, put into a new one."""

from __future__ import annotations

import datetime as dt
from collections import deque
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from typing import Any

from sqlalchemy import Boolean, Connection, Date, Table, insert, select, text
from sqlalchemy.exc import IntegrityError, SQLAlchemyError

from linesim.errors import StoreError
from linesim.store import schema
from linesim.store.checking import KINDS, problem_of, tables_of
from linesim.store.store import Store
from linesim.store.sums import SUM, summed

__all__ = ["Rescued", "rescue"]

_PROBES = 20_000
"""How often a table is asked for a span of row numbers where it cannot be read from end to end: some seconds."""

Row = dict[str, Any]


@dataclass
class Rescued:
    """How much was put into the new store, and how much was left behind; by what the rows are called.

    Attributes
    ----------
    saved, lost : dict of str to int
        Rows; of pages that cannot be read at all, those lost are those that could have stood there.
    """

    saved: dict[str, int] = field(default_factory=dict)
    lost: dict[str, int] = field(default_factory=dict)


def rescue(source: Store, new: Store) -> Rescued:
    """Put every row that can be read, and says what was written, into a new store.

    A scenario that is lost leaves its name behind for the runs that belong to it; its text is filled in when the same
    study is started again.

    Parameters
    ----------
    source : Store
        The damaged one, opened by `linesim.store.open_copy`.
    new : Store
        Must hold nothing.

    Raises
    ------
    StoreError
        The new one holds something, or cannot be written.
    """
    if new.count_runs() or new.studies():
        raise StoreError(f"{new.location} holds runs or studies; a store that is not there yet was expected")
    rescued, numbers = Rescued(), dict[int, int]()
    with source.reading() as reading, new.writing() as writing:
        for table in tables_of(reading):
            kind = KINDS[table.name]
            rescued.saved[kind] = rescued.lost[kind] = 0
            for row in _readable(reading, table):
                is_saved = row is not None and not problem_of(table, row) and _put(writing, table, row, numbers)
                (rescued.saved if is_saved else rescued.lost)[kind] += 1
    return rescued


def _put(writing: Connection, table: Table, row: Row, numbers: dict[int, int]) -> bool:
    """Put a row into the new store; whether it has gone in. Studies get new numbers, and are followed by them."""
    try:
        typed = {column.name: _typed(column.type, row[column.name]) for column in table.c if column.name != SUM}
    except (ValueError, TypeError):
        return False
    number = typed.pop("number", None)
    if table.name == schema.study_runs.name:
        if typed["study"] not in numbers:
            return False
        typed["study"] = numbers[typed["study"]]
    if "works" in typed:
        _stand_in(writing, typed)
    try:
        with writing.begin_nested():
            done = writing.execute(insert(table).values(summed(typed)))
    except IntegrityError:  # what it belongs to is lost, or it is there twice
        return False
    if table.name == schema.studies.name:
        assert done.inserted_primary_key is not None
        numbers[number] = done.inserted_primary_key[0]
    return True


def _stand_in(writing: Connection, row: Mapping[str, Any]) -> None:
    """Have something for a run or a study to belong to where its scenario is lost."""
    works = schema.works
    if writing.execute(select(works.c.digest).where(works.c.digest == row["works"])).first() is None:
        stand_in = {"digest": row["works"], "name": "(lost)", "text": "", "kept_at": ""}
        writing.execute(insert(works).values(summed(stand_in)))


def _typed(kind: Any, value: Any) -> Any:
    """A value as the column of another database takes it."""
    if isinstance(kind, Date) and isinstance(value, str):
        return dt.date.fromisoformat(value)
    return bool(value) if isinstance(kind, Boolean) and value is not None else value


def _readable(connection: Connection, table: Table) -> Iterator[Row | None]:
    """The rows of a table; None for each that cannot be read."""
    asked = f"SELECT * FROM {table.name}"  # noqa: S608 - a name of ours
    try:
        rows: list[Row | None] = [dict(row) for row in connection.execute(text(asked)).mappings()]
    except SQLAlchemyError:
        if connection.dialect.name != "sqlite":
            raise
        yield from _probed(connection, table, asked)
        return
    yield from rows


def _probed(connection: Connection, table: Table, asked: str) -> Iterator[Row | None]:
    """The rows of a table of a damaged file, asked for by their numbers in the file.

    A span of numbers that cannot be read is halved, the widest first, so that all that can be read is found soon,
    however much cannot.
    """
    span = text(f"{asked.replace('*', 'rowid, *', 1)} WHERE rowid BETWEEN :low AND :high")
    could_stand = _could_stand(connection)
    spans, by_number, lost = deque([(1, _last_row(connection, table, could_stand))]), dict[int, Any](), 0
    for _ in range(_PROBES):
        if not spans:
            break
        low, high = spans.popleft()
        try:
            rows = connection.execute(span, {"low": low, "high": high}).mappings().all()
        except SQLAlchemyError:
            if low == high:
                lost += 1
            else:
                middle = (low + high) // 2
                spans += [(low, middle), (middle + 1, high)]
            continue
        by_number |= {
            int(row["rowid"]): {name: value for name, value in row.items() if name != "rowid"} for row in rows
        }
    yield from (by_number[number] for number in sorted(by_number))
    yield from [None] * min(lost + len(spans), could_stand)


def _could_stand(connection: Connection) -> int:
    """How many rows a file can hold, at 64 bytes each."""
    pages = connection.exec_driver_sql("PRAGMA page_count").scalar_one()
    size = connection.exec_driver_sql("PRAGMA page_size").scalar_one()
    return int(pages) * int(size) // 64


def _last_row(connection: Connection, table: Table, could_stand: int) -> int:
    """The highest number that a row may have: as the table's end says, unless that is more than the file can hold."""
    try:
        last = connection.exec_driver_sql(f"SELECT max(rowid) FROM {table.name}").scalar_one()  # noqa: S608
        return min(int(last or 0), could_stand)
    except SQLAlchemyError:
        return could_stand
