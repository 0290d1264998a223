"""Whether a store is whole: SQLite's own check of the file, and the sum of every row."""

from __future__ import annotations

import json
from collections.abc import Iterator, Mapping
from pathlib import Path
from typing import Any

from sqlalchemy import Connection, Table, inspect, text
from sqlalchemy.exc import SQLAlchemyError

from linesim.store import schema
from linesim.store.embedded import only_read
from linesim.store.failing import DamagedError, damaged, meaning, telling
from linesim.store.sums import SUM, is_whole, run_sum

__all__ = ["KINDS", "look_through", "problem_of", "problems", "tables_of"]

CHEAP_BYTES = 32 * 2**20
"""A file up to this size is looked through whenever it is opened, which takes some tenths of a second at most."""

KINDS = {
    schema.works.name: "scenarios",
    schema.runs.name: "runs",
    schema.studies.name: "studies",
    schema.study_runs.name: "notes of which runs belong to a study",
    schema.attempts.name: "shifts played by trainees",
    schema.shifts.name: "shifts in trainees' hands",
    schema.desks.name: "desks",
    schema.desk_versions.name: "versions of desks",
    schema.desk_links.name: "links to desks",
    schema.desk_drafts.name: "sheets being typed",
    schema.approvals.name: "approvals",
}
"""What the rows of each table are called; in an order in which they can be put into a new store."""

_JSON = {schema.studies.name: ("settings", "answer"), schema.shifts.name: ("kept",), schema.approvals.name: ("cards",),
         schema.desk_drafts.name: ("cells",)}  # fmt: skip
"""Columns that hold JSON."""

_LARGE = {schema.runs.name, schema.study_runs.name}

_whole: dict[Path, tuple[tuple[int, int, int], ...]] = {}
"""Files that were seen to be whole, and how they were then."""


def look_through(path: Path) -> None:
    """See to it that a file is whole before anything is written to it, as far as that can be seen in a moment.

    Raises
    ------
    DamagedError
        It is not.
    """
    state = _state(path)
    if _whole.get(path) == state:
        return
    engine = only_read(path)
    try:
        with telling(str(path)), engine.connect() as connection:
            first = next(problems(connection, is_quick=True, is_small=path.stat().st_size <= CHEAP_BYTES), None)
    finally:
        engine.dispose()
    if first is not None:
        raise damaged(str(path), first)
    _whole[path] = state


def _state(path: Path) -> tuple[tuple[int, int, int], ...]:
    files = [file for file in (path, path.with_name(f"{path.name}-wal")) if file.exists()]
    return tuple((answer.st_ino, answer.st_size, answer.st_mtime_ns) for answer in (file.stat() for file in files))


def problems(connection: Connection, is_quick: bool = False, is_small: bool = True) -> Iterator[str]:
    """Everything in a store that is not as it was written.

    Parameters
    ----------
    connection : sqlalchemy.Connection
        To read on.
    is_quick : bool
        Leave out whether SQLite's indexes fit their tables.
    is_small : bool
        Look at every row; else the runs, and the file as such, are left out.

    Yields
    ------
    str
    """
    if connection.dialect.name == "sqlite" and is_small:
        asked = "quick_check" if is_quick else "integrity_check"
        yield from (str(row[0]) for row in connection.exec_driver_sql(f"PRAGMA {asked}(20)") if row[0] != "ok")
        orphans = {str(row[0]) for row in connection.exec_driver_sql("PRAGMA foreign_key_check")}
        yield from (f"{KINDS.get(name, name)}: what they belong to is not there" for name in sorted(orphans))
    tables = tables_of(connection)
    if tables and not inspect(connection).has_table(schema.marks.name):
        yield f"there is no table {schema.marks.name} in it"
    for table in tables:
        if is_small or table.name not in _LARGE:
            yield from _problems_in(connection, table)


def tables_of(connection: Connection) -> list[Table]:
    """Tables that are there, in the order of `KINDS`."""
    names = set(inspect(connection).get_table_names())
    return [schema.METADATA.tables[name] for name in KINDS if name in names]


def _problems_in(connection: Connection, table: Table) -> Iterator[str]:
    try:
        for row in connection.execute(text(f"SELECT * FROM {table.name}")).mappings():  # noqa: S608 - a name of ours
            problem = problem_of(table, dict(row))
            if problem:
                yield problem
    except SQLAlchemyError as error:
        own = str(getattr(error, "orig", None) or error)
        if not isinstance(meaning(error, ""), DamagedError):
            raise
        yield f"{KINDS[table.name]} cannot be read ({own.splitlines()[0][:120]})"


def problem_of(table: Table, row: Mapping[str, Any]) -> str:
    """What is wrong with a row; empty if nothing is."""
    plain = {column.name: row[column.name] for column in table.c if column.name in row}
    is_right = is_whole({SUM: None} | plain)
    if table.name == schema.runs.name:
        is_right = is_right and run_sum(str(plain["key"]), str(plain["outcome"])) == plain["checksum"]
    if is_right and all(_is_json(plain[name]) for name in _JSON.get(table.name, ())):
        return ""
    return f"{_called(table, plain)} does not say what was written"


def _is_json(value: Any) -> bool:
    try:
        return isinstance(json.loads(value), dict)
    except (ValueError, TypeError):
        return False


def _called(table: Table, row: Mapping[str, Any]) -> str:
    """What one row is called, in words that a terminal can show."""
    names = {
        schema.works.name: f'scenario "{row.get("name")}"',
        schema.runs.name: f"run {str(row.get('key'))[:12]}",
        schema.studies.name: f"study {row.get('number')}",
        schema.study_runs.name: f"a note of which runs belong to study {row.get('study')}",
        schema.attempts.name: f"shift {row.get('number')} played by a trainee",
        schema.shifts.name: "a shift in a trainee's hands",
        schema.desks.name: f'desk "{row.get("name")}"',
        schema.desk_versions.name: f"version {row.get('version')} of a desk",
        schema.desk_links.name: "a link to a desk",
        schema.desk_drafts.name: "sheets being typed at a desk",
        schema.approvals.name: f"proposal {row.get('number')}",
    }
    return "".join(sign if sign.isprintable() else "\N{REPLACEMENT CHARACTER}" for sign in names[table.name])
