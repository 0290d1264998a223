"""A sum for each row that is kept, by which it is seen that the row says what was written."""

from __future__ import annotations

import datetime as dt
import hashlib
import json
from collections.abc import Mapping
from typing import Any

__all__ = ["SUM", "is_whole", "row_sum", "run_sum", "summed"]

SUM = "row_sum"
"""Name of the column in which it stands; null in rows that were kept before there was one."""

_LEFT_OUT = {SUM, "number", "outcome"}
"""Numbers are given by the database, and an outcome has a checksum of its own, which stands in the row."""


def row_sum(row: Mapping[str, Any]) -> str:
    """Sum of a row: 16 hexadecimal digits of SHA-256 over the names and values of its columns that hold something.

    >>> row_sum({"name": "Till", "day": "2026-01-05"}) == row_sum({"day": dt.date(2026, 1, 5), "name": "Till"})
    True
    """
    content = [[name, _plain(row[name])] for name in sorted(row) if name not in _LEFT_OUT and row[name] is not None]
    return hashlib.sha256(json.dumps(content).encode("ascii")).hexdigest()[:16]


def summed(row: Mapping[str, Any]) -> dict[str, Any]:
    """A row with its sum, ready to be kept."""
    return {**row, SUM: row_sum(row)}


def is_whole(row: Mapping[str, Any]) -> bool:
    """Whether all columns of a row say what was written, as far as that is known."""
    return row[SUM] is None or row[SUM] == row_sum(row)


def run_sum(key: str, outcome: str) -> str:
    """By which it is seen that an outcome is whole, and belongs to its key."""
    return hashlib.sha256(f"{key} {outcome}".encode("utf-8", "surrogatepass")).hexdigest()[:16]


def _plain(value: Any) -> Any:
    """A value in the one form that every database gives back."""
    if isinstance(value, dt.date):
        return value.isoformat()
    return int(value) if isinstance(value, bool) else value
