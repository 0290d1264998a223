"""Tables as CSV or Parquet files in a folder, safe to open in a spreadsheet and safe for what lies there already."""

from __future__ import annotations

import json
from collections.abc import Mapping
from functools import partial
from pathlib import Path
from typing import Any, Literal

import pandas as pd
import pyarrow as pa

from linesim.errors import StudyError
from linesim.report.files.whole import write_text, write_whole
from linesim.report.theme.csv_text import as_csv

__all__ = ["CONTENTS", "Kind", "check_folder", "write_csv", "write_parquet"]

CONTENTS = "linesim.json"
"""Says what linesim has put into a folder, and how it can be made again."""

Kind = Literal["csv", "parquet"]


def check_folder(folder: Path, names: Mapping[str, Any] | tuple[str, ...], is_forced: bool, kind: Kind = "csv") -> None:
    """See to it that tables can be written into a folder, before anything is run for them.

    Parameters
    ----------
    folder : pathlib.Path
        Is made if it is not there.
    names : names of the tables
        One file each.
    is_forced : bool
        Files that linesim did not write may be overwritten.
    kind : {"csv", "parquet"}
        Of the files.

    Raises
    ------
    StudyError
        It is no folder, or holds files of these names that linesim did not put there.
    OSError
        It cannot be made.
    """
    if folder.exists() and not folder.is_dir():
        raise StudyError(f"{folder}: this is a file; a folder for the tables was expected")
    folder.mkdir(parents=True, exist_ok=True)
    own = _written_before(folder)
    foreign = [name for each in names if (folder / (name := f"{each}.{kind}")).exists() and name not in own]
    if (folder / CONTENTS).exists() and not own:
        foreign.append(CONTENTS)
    if foreign and not is_forced:
        raise StudyError(
            f"{folder}: {', '.join(foreign)} lie there already and were not written by linesim; "
            "name another folder, or add --force to overwrite them"
        )


def write_csv(
    folder: Path, tables: Mapping[str, pd.DataFrame], provenance: Mapping[str, Any], is_forced: bool = False
) -> list[Path]:
    """Write one CSV file per table, and a file that says how they came about.

    Parameters
    ----------
    folder : pathlib.Path
        Is made if it is not there.
    tables : mapping of str to pandas.DataFrame
        By name.
    provenance : mapping
        What is needed to make the tables again; plain values.
    is_forced : bool
        Files that linesim did not write may be overwritten.

    Returns
    -------
    list of pathlib.Path
        The files written.

    Raises
    ------
    StudyError
        As for `check_folder`, or a file cannot be written.
    """
    return _write(folder, tables, provenance, is_forced, "csv")


def write_parquet(
    folder: Path, tables: Mapping[str, pd.DataFrame], provenance: Mapping[str, Any], is_forced: bool = False
) -> list[Path]:
    """Write one Parquet file per table, with what is needed to make it again in its own metadata under "linesim".

    Parameters
    ----------
    folder, tables, provenance, is_forced
        As for `write_csv`.

    Returns
    -------
    list of pathlib.Path
        The files written.

    Raises
    ------
    StudyError
        As for `write_csv`.
    """
    return _write(folder, tables, provenance, is_forced, "parquet")


def _write(
    folder: Path, tables: Mapping[str, pd.DataFrame], provenance: Mapping[str, Any], is_forced: bool, kind: Kind
) -> list[Path]:
    check_folder(folder, tuple(tables), is_forced, kind)
    written = []
    for name, table in tables.items():
        path = folder / f"{name}.{kind}"
        if kind == "csv":
            write_text(path, as_csv(table))
        else:
            from pyarrow import parquet  # noqa: PLC0415 - every command would wait for it

            write_whole(path, partial(parquet.write_table, _as_arrow(table, provenance)))
        written.append(path)
    files = sorted({*_written_before(folder), *(path.name for path in written)})
    contents = {"written by": "linesim", "files": files, "provenance": dict(provenance)}
    write_text(folder / CONTENTS, json.dumps(contents, indent=2, allow_nan=False) + "\n")
    return [*written, folder / CONTENTS]


def _as_arrow(table: pd.DataFrame, provenance: Mapping[str, Any]) -> pa.Table:
    """A table with a plain type for each column; one whose values are of several kinds becomes text."""
    columns = {str(name): _column(table[name]) for name in table}
    metadata = {"linesim": json.dumps(dict(provenance), allow_nan=False)}
    return pa.table(columns).replace_schema_metadata(metadata)


def _column(values: pd.Series[Any]) -> pa.Array:
    try:
        return pa.Array.from_pandas(values)
    except (pa.ArrowInvalid, pa.ArrowTypeError):
        return pa.array([None if value is None else str(value) for value in values], pa.string())


def _written_before(folder: Path) -> list[str]:
    """Files that linesim has put into a folder, by its own note of them."""
    try:
        contents = json.loads((folder / CONTENTS).read_text(encoding="utf-8"))
    except (OSError, ValueError):
        return []
    if not isinstance(contents, dict) or contents.get("written by") != "linesim":
        return []
    files = contents.get("files", [])
    return [str(name) for name in files] if isinstance(files, list) else []
