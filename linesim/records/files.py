"""Files named by a user: guessed together into one mapping, or read by it."""

from __future__ import annotations

import os
from collections.abc import Sequence
from dataclasses import replace
from pathlib import Path

from linesim.records.guess import guessed
from linesim.records.mapping import FileMapping
from linesim.records.tables import content_of, sheets_in, table_in
from linesim.works.yaml_tree import refused_at

__all__ = ["guess_files"]


def guess_files(paths: Sequence[Path], folder: Path) -> list[FileMapping]:
    """Guess how files are to be read: every sheet that has a table.

    Parameters
    ----------
    paths : sequence of pathlib.Path
        CSV, workbooks, Parquet or documents of MTConnect.
    folder : pathlib.Path
        Where the mapping will stand; paths in it begin there.

    Raises
    ------
    ScenarioError
        A file cannot be read, or is like no kind of record.
    """
    mappings: list[FileMapping] = []
    for path in paths:
        content = content_of(path, str(path))
        sheets = sheets_in(content, str(path))
        if not sheets:
            raise refused_at(str(path), None, "this workbook has no sheet with rows of records")
        for at, sheet in enumerate(sheets):
            table = table_in(content, str(path), sheet)
            mapping = guessed(table, _from(path, folder), sheet)
            mappings.append(replace(mapping, remarks=(*table.remarks, *mapping.remarks)) if at == 0 else mapping)
    return mappings


def _from(path: Path, folder: Path) -> str:
    """A path as it is named from a folder; as it is where there is no way from there."""
    try:
        return Path(os.path.relpath(path, folder)).as_posix()
    except ValueError:
        return path.as_posix()
