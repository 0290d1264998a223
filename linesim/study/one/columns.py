"""A trace as columns on disk: what happened, written as it happens, so that memory does not grow with the run."""

from __future__ import annotations

from abc import ABC, abstractmethod
from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import Any

import pyarrow as pa
from pyarrow import parquet

from linesim.errors import StudyError
from linesim.plan.plan import Plan
from linesim.study.one.tracing import CHANGE, SET, STATE, Tracer, part_columns, value_names

__all__ = ["ColumnTracer", "check_trace_path"]

ROWS_AT_ONCE = 20_000
"""Rows of one table that are kept in memory before they are written."""

_SUFFIX = ".parquet"
_MARK = b"linesim"
_WHOLE = frozenset({"serial", "parts", "set"})
_TEXT = frozenset({"line", "operation", "machine", "outcome", "part_type", "state", "cutter", "why", "place"})

Row = Mapping[str, Any]


def check_trace_path(path: Path, is_forced: bool) -> None:
    """See to it that a trace can be put where it is wanted, before anything is run for it.

    Parameters
    ----------
    path : Path
        A file that ends with ``.parquet``, or a folder.
    is_forced : bool
        Whether files that linesim did not write may be overwritten.

    Raises
    ------
    StudyError
        It cannot.
    """
    if path.suffix == _SUFFIX and path.is_dir():
        raise StudyError(f"{path} is a folder; a file that ends with {_SUFFIX}, or another folder, was expected")
    if path.suffix != _SUFFIX and path.exists() and not path.is_dir():
        raise StudyError(f"{path} is a file; a file that ends with {_SUFFIX}, or a folder, was expected")
    for file in [path] if path.suffix == _SUFFIX else _files(path).values():
        if file.exists() and not is_forced and not _is_ours(file):
            raise StudyError(f"{file} is there and was not written by linesim; name another, or add --force")


def _files(folder: Path) -> dict[str, Path]:
    return {name: folder / f"{name}{_SUFFIX}" for name in ("parts", "states", "changes", "sets")}


def _is_ours(file: Path) -> bool:
    try:
        return _MARK in (parquet.read_schema(file).metadata or {})
    except (OSError, pa.ArrowInvalid):
        return False


class ColumnTracer(Tracer):
    """Writes what it hears into parquet files, slice by slice; the same files from either engine.

    Rows stand in the order in which what they tell of was over: the part gone, the state left, the set changed or come
    somewhere; at one moment by machine, or by set.

    Parameters
    ----------
    plan : Plan
        What is run.
    path : Path
        A folder, which gets ``parts.parquet``, ``states.parquet``, ``changes.parquet``, ``sets.parquet``; or one file
        that ends with ``.parquet``, which gets all rows, with the name of their table in the column ``table``.
    about : mapping
        What is needed to make the run again; kept in each file beside its columns.
    """

    def __init__(self, plan: Plan, path: Path, about: Mapping[str, str]) -> None:
        super().__init__(plan)
        names = {"parts": [*part_columns(plan), *value_names(plan)], "states": STATE, "changes": CHANGE}
        names |= {"sets": SET}
        self._waiting: dict[str, list[tuple[float, int, Row]]] = {table: [] for table in names}
        self._files: _Files = _OneFile(path, names, about) if path.suffix == _SUFFIX else _Folder(path, names, about)

    def close(self, end_min: float) -> None:
        """Write what is left, up to the moment at which the run ended, and close the files."""
        try:
            self.close_states(end_min)
            for table in self._waiting:
                self._write_before(table, float("inf"))
            still_here = [row for _, row in sorted(self._here.items())]
            if still_here:
                self._files.write("parts", still_here)
        finally:
            self._files.close()

    def _part_comes(self, row: Row) -> None:
        """Rows of parts that are still here are written last."""

    def _part_is_gone(self, row: Row, now_min: float, machine: int) -> None:
        self._keep("parts", now_min, machine, row)

    def _add_state(self, now_min: float, machine: int, row: tuple[Any, ...]) -> None:
        self._keep("states", now_min, machine, dict(zip(STATE, row, strict=True)))

    def _add_change(self, now_min: float, machine: int, row: tuple[Any, ...]) -> None:
        self._keep("changes", now_min, machine, dict(zip(CHANGE, row, strict=True)))

    def _add_set(self, now_min: float, rank: int, row: tuple[Any, ...]) -> None:
        self._keep("sets", now_min, rank, dict(zip(SET, row, strict=True)))

    def _keep(self, table: str, now_min: float, machine: int, row: Row) -> None:
        waiting = self._waiting[table]
        waiting.append((now_min, machine, row))
        # More may happen at this very moment, and the engines tell of one moment in different orders.
        if len(waiting) >= ROWS_AT_ONCE and waiting[0][0] < now_min:
            self._write_before(table, now_min)

    def _write_before(self, table: str, minute: float) -> None:
        waiting = self._waiting[table]
        ready = sorted((stored for stored in waiting if stored[0] < minute), key=lambda stored: stored[:2])
        self._waiting[table] = [stored for stored in waiting if stored[0] >= minute]
        if ready:
            self._files.write(table, [row for _, _, row in ready])


def _schema(names: Sequence[str], about: Mapping[str, str]) -> pa.Schema:
    """Columns with their types, and what the run was."""
    fields = []
    for name in names:
        kind = pa.int64() if name in _WHOLE else pa.string() if name in _TEXT else pa.float64()
        fields.append(pa.field(name, kind))
    marks: dict[bytes | str, bytes | str] = {_MARK: b"trace"}
    marks.update({name: str(value) for name, value in about.items()})
    return pa.schema(fields, metadata=marks)


def _batch(schema: pa.Schema, rows: Sequence[Row]) -> pa.Table:
    return pa.table([pa.array([row.get(field.name) for row in rows], field.type) for field in schema], schema=schema)


class _Files(ABC):
    """Where the rows go."""

    @abstractmethod
    def write(self, table: str, rows: Sequence[Row]) -> None:
        """Write some rows of one of the tables."""

    @abstractmethod
    def close(self) -> None:
        """Make the files whole."""


class _Folder(_Files):
    """One file for each table."""

    def __init__(self, folder: Path, names: Mapping[str, Sequence[str]], about: Mapping[str, str]) -> None:
        folder.mkdir(parents=True, exist_ok=True)
        self._schemas = {table: _schema(columns, about) for table, columns in names.items()}
        self._writers = {
            table: parquet.ParquetWriter(file, self._schemas[table], compression="zstd")
            for table, file in _files(folder).items()
        }

    def write(self, table: str, rows: Sequence[Row]) -> None:
        """Write some rows into the table's own file."""
        self._writers[table].write_table(_batch(self._schemas[table], rows))

    def close(self) -> None:
        """Make all files whole."""
        for writer in self._writers.values():
            writer.close()


class _OneFile(_Files):
    """All rows in one file."""

    def __init__(self, file: Path, names: Mapping[str, Sequence[str]], about: Mapping[str, str]) -> None:
        together = list(dict.fromkeys(name for columns in names.values() for name in columns))
        schema = _schema(together, about)
        self._schema = schema.insert(0, pa.field("table", pa.string()))
        self._writer = parquet.ParquetWriter(file, self._schema, compression="zstd")

    def write(self, table: str, rows: Sequence[Row]) -> None:
        """Write some rows, each with the name of its table."""
        self._writer.write_table(_batch(self._schema, [{"table": table} | dict(row) for row in rows]))

    def close(self) -> None:
        """Make the file whole."""
        self._writer.close()
