"""Tables as CSV files in a folder, safe to open in a spreadsheet and safe for what lies there already."""

from __future__ import annotations

import json
from collections.abc import Mapping
from pathlib import Path
from typing import Any

import pandas as pd

from linesim.errors import StudyError
from linesim.report.files.beside import write_text
from linesim.report.theme.csv_text import as_csv

__all__ = ["CONTENTS", "check_folder", "write_csv"]

CONTENTS = "linesim.json"
"""Says what linesim has put into a folder, and how it can be made again."""


def check_folder(folder: Path, names: Mapping[str, Any] | tuple[str, ...], is_forced: bool) -> None:
    """See to it that tables can be written into a folder, before anything is run for them.

    Parameters
    ----------
    folder : pathlib.Path
        Is made if it is not there.
    names : names of the tables
        One file each.
    is_forced : bool
        Files that linesim did not write may be overwritten.

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
    foreign = [name for name in map(_file_name, names) if (folder / name).exists() and name not in own]
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
    check_folder(folder, tuple(tables), is_forced)
    written = []
    for name, table in tables.items():
        path = folder / _file_name(name)
        write_text(path, as_csv(table))
        written.append(path)
    files = sorted({*_written_before(folder), *(path.name for path in written)})
    contents = {"written by": "linesim", "files": files, "provenance": dict(provenance)}
    write_text(folder / CONTENTS, json.dumps(contents, indent=2, allow_nan=False) + "\n")
    return [*written, folder / CONTENTS]


def _file_name(name: str) -> str:
    return f"{name}.csv"


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
