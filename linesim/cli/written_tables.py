"""The tables that lie beside ``linesim.json`` in a folder of ``--csv``, read back to be held against new ones."""

from __future__ import annotations

import csv
from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import Any

from linesim.report.theme.csv_text import harmless

__all__ = ["written_tables"]

_NOT_FINITE = ("", "inf", "-inf", "nan")


def written_tables(report: Path, files: Sequence[str], new: Mapping[str, Any]) -> dict[str, Any]:
    """Tables as they were written, with the kinds of values that new ones have.

    Parameters
    ----------
    report : pathlib.Path
        ``linesim.json``, beside which they lie.
    files : sequence of str
        Their names.
    new : mapping
        The new report: its tables by name.

    Returns
    -------
    dict
        Those of which the new report has one as well, by name.
    """
    tables = {}
    for name in files:
        path = report.parent / Path(name).name
        rows = new.get(path.stem)
        if path.suffix == ".csv" and isinstance(rows, list) and path.is_file():
            with path.open(encoding="utf-8-sig", newline="") as file:
                tables[path.stem] = [_row(each, rows, at) for at, each in enumerate(csv.DictReader(file))]
    return tables


def _row(old: Mapping[str, str], rows: Sequence[Any], at: int) -> dict[str, Any]:
    new = rows[at] if at < len(rows) and isinstance(rows[at], dict) else {}
    return {name: _as(text, new.get(name)) for name, text in old.items()}


def _as(text: str, value: Any) -> Any:
    """A cell as the new value would be written; as it stands where it is another."""
    if value is None:
        return None if text in _NOT_FINITE else text
    if isinstance(value, bool):
        return value if text == str(value) else text
    if isinstance(value, (int, float)):
        try:
            return value if float(text) == value else float(text)
        except ValueError:
            return text
    return value if text == harmless(str(value)) else text
