"""A table in one file: CSV, JSON or Excel, in none of which a text is taken for a formula."""

from __future__ import annotations

import json
from collections.abc import Mapping
from pathlib import Path
from typing import Any

import pandas as pd

from linesim.errors import StudyError
from linesim.report.files.whole import write_text, write_whole
from linesim.report.theme.csv_text import as_csv, harmless
from linesim.result.plain import plain_table

__all__ = ["ENDINGS", "check_file", "write_table"]

ENDINGS = (".csv", ".json", ".xlsx")
"""Endings by which it is known how to write a table."""


def check_file(path: Path, is_forced: bool) -> None:
    """See to it that a table can be written, before it is made.

    Raises
    ------
    StudyError
        The ending is not known, or something lies there that may not be overwritten.
    """
    if path.suffix.lower() not in ENDINGS:
        raise StudyError(
            f"{path}: the name of the file was expected to end in {', '.join(ENDINGS[:-1])} or {ENDINGS[-1]}"
        )
    if path.is_dir():
        raise StudyError(f"{path} is a folder; a file was expected")
    if path.exists() and not is_forced:
        raise StudyError(f"{path} is there already; name another file, or add --force to overwrite it")


def write_table(path: Path, table: pd.DataFrame, provenance: Mapping[str, Any], is_forced: bool = False) -> None:
    """Write a table as its file's ending says.

    Parameters
    ----------
    path : pathlib.Path
        Ends in one of `ENDINGS`.
    table : DataFrame
        What to write.
    provenance : mapping
        Where it comes from; stands in JSON and on a sheet of its own in Excel, while CSV holds the table alone.
    is_forced : bool
        A file that is there may be overwritten.

    Raises
    ------
    StudyError
        As for `check_file`, or it cannot be written.
    """
    check_file(path, is_forced)
    ending = path.suffix.lower()
    if ending == ".csv":
        write_text(path, as_csv(table))
    elif ending == ".json":
        content = {"provenance": dict(provenance), "runs": plain_table(table)}
        write_text(path, json.dumps(content, indent=1, allow_nan=False) + "\n")
    else:
        write_whole(path, lambda beside: _write_excel(beside, table, provenance))


def _write_excel(path: Path, table: pd.DataFrame, provenance: Mapping[str, Any]) -> None:
    """Two sheets: the runs, and where they come from."""
    safe = table.map(lambda value: harmless(value) if isinstance(value, str) else value)
    values = {
        name: value if isinstance(value, (str, int, float)) else json.dumps(value) for name, value in provenance.items()
    }
    about = pd.DataFrame([(name, harmless(str(value))) for name, value in values.items()], columns=["what", "value"])
    with pd.ExcelWriter(path, engine="openpyxl") as writer:
        safe.to_excel(writer, sheet_name="runs", index=False, freeze_panes=(1, 0))
        about.to_excel(writer, sheet_name="where from", index=False)
