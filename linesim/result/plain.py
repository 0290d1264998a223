"""Results as plain values: numbers, texts, lists and dictionaries that JSON can hold."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING, Any

import pandas as pd

from linesim.ledger import by, total_minor_units

if TYPE_CHECKING:
    from linesim.result.result import Result

__all__ = ["TABLES", "plain_table", "plain_value", "summary_of"]

TABLES = (
    "lines", "machines", "operations", "causes", "changes", "sets", "people", "gauges", "characteristics", "ledger",
    "indicators",
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


def summary_of(result: Result) -> dict[str, Any]:
    """A run in short.

    Returns
    -------
    dict
        What was run and how (works, policy, digest, engine, seed, replication, warm-up and where its length comes from,
        counted minutes), whether the floor came to a stand, the lines, the ledger by item, and the findings.
    """
    works, plan, tally = result.works, result.plan, result.tally
    is_given = "warm_up" in works.run.model_fields_set
    items = by(result.ledger, "item") if len(result.ledger) else pd.DataFrame({"item": [], "money": []})
    return {
        "works": works.name,
        "policy": plan.policy,
        "digest": plan.digest,
        "engine": result.engine,
        "seed": result.seed,
        "replication": result.replication,
        "warm_up_min": plan.warm_up_min,
        "warm_up_from": "the scenario" if is_given else "the usual figure, as the scenario gives none",
        "counted_min": tally.counted_min,
        "stopped_at_min": result.stopped_at_min,
        "currency": works.currency,
        "is_stuck": bool(tally.is_stuck),
        "stuck_at_min": plain_value(float(tally.stuck_at_min)),
        "lines": plain_table(result.lines),
        "ledger": {str(row["item"]): plain_value(row["money"]) for row in items.to_dict("records")},
        "ledger_total": total_minor_units(result.ledger) / 100.0,
        "findings": [{"text": each.text, "is_problem": each.is_problem} for each in result.findings],
    }
