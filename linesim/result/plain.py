"""Results as plain values: numbers, texts, lists and dictionaries that JSON can hold."""

from __future__ import annotations

import math
from typing import Any

import pandas as pd

__all__ = ["TABLES", "plain_table", "plain_value"]

TABLES = (
    "lines", "machines", "operations", "causes", "changes", "sets", "people", "gauges", "blame", "faults",
    "first_pieces", "types", "changeovers", "later", "characteristics", "ledger", "indicators", "measuring",
    "staffing", "joins",
)  # fmt: skip
"""Names of the tables of a result."""


def plain_value(value: Any) -> Any:
    """A number or text without NumPy's types; None for what is not a finite number.

    >>> plain_value(float("nan")), plain_value(2.5), plain_value("Op 10")
    (None, 2.5, 'Op 10')
    """
    if isinstance(value, (str, bool)) or value is None:
        return value
    number = value.item() if hasattr(value, "item") else value
    return None if isinstance(number, float) and not math.isfinite(number) else number


def plain_table(table: pd.DataFrame) -> list[dict[str, Any]]:
    """Rows of a table as dictionaries of plain values."""
    return [{str(name): plain_value(value) for name, value in row.items()} for row in table.to_dict("records")]
