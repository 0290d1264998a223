"""Stock, lead time, waits and capability of a comparison, as a short table for the terminal."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

import pandas as pd
from rich.console import RenderableType

from linesim.report.theme.grid import Column, chunks, grid, plain
from linesim.report.theme.shown import UNKNOWN, pair
from linesim.study import Comparison

__all__ = ["detail_tables"]

_POLICIES_ABREAST = 5


def detail_tables(comparison: Comparison) -> Iterator[RenderableType]:
    """The details that a person asks for first; all of them stand in the tables that can be exported.

    Of waits and capabilities the worst one of each line is shown, in the mean over the policies.

    Parameters
    ----------
    comparison : Comparison

    Yields
    ------
    rich.console.RenderableType
        One table for every five policies.
    """
    table = comparison.details
    chosen = list(_chosen(table, list(comparison.works.lines)))
    cells = {tuple(row[name] for name in _KEY): row for row in table.to_dict("records")}
    for names in chunks(comparison.names, _POLICIES_ABREAST):
        columns = [Column("mean ± half width", True, 38), *(Column(name, least=11) for name in names)]
        rows = [
            [words, *(_cell(cells.get((name, *key)), factor, decimals) for name in names)] if key else [words]
            for words, key, factor, decimals in chosen
        ]
        yield grid("Stock, waits and capability (all of them: --csv or --json, details)", columns, rows)


_KEY = ("policy", "of", "line", "operation", "name", "characteristic", "figure")

_Row = tuple[str, tuple[str, ...], float, int]
"""Words, key without the policy, factor and decimals; a heading has no key."""


def _chosen(table: pd.DataFrame, lines: list[str]) -> Iterator[_Row]:
    """Which figures are shown."""
    for line in lines:
        if len(lines) > 1:
            yield line, (), 1.0, 0
        yield "parts in the line", ("line", line, "", "", "", "mean_in_line"), 1.0, 1
        yield "lead time, min", ("line", line, "", "", "", "mean_lead_min"), 1.0, 0
        key = _worst(table, "operation", line, "mean_wait_min")
        if key is not None:
            yield f'a part waits before "{plain(key[2])}", min', key, 1.0, 1
        key = _worst(table, "characteristic", line, "cpk", least=True)
        if key is not None:
            yield f"lowest Cpk: {plain(key[3])}, {key[4]}", key, 1.0, 2
            yield "out of limits there, %", (*key[:5], "share_out"), 100.0, 1
    for of, words in (("people", 'a job waits for "{}", min'), ("cutter", 'waits for a sharp "{}", min')):
        key = _worst(table, of, "", "mean_wait_min")
        if key is not None:
            yield words.format(plain(key[3])), key, 1.0, 1


def _worst(table: pd.DataFrame, of: str, line: str, name: str, *, least: bool = False) -> tuple[str, ...] | None:
    """The key of the greatest (or least) figure of a kind; None if none is known, or nothing waits."""
    own = table[(table["of"] == of) & (table["line"] == line) & (table["figure"] == name)]
    means = own.groupby(list(_KEY[1:]), sort=False)["mean"].mean().dropna()
    if means.empty or (not least and means.max() <= 0.0):
        return None
    answer: Any = means.idxmin() if least else means.idxmax()
    return tuple(str(part) for part in answer)


def _cell(row: dict[Any, Any] | None, factor: float, decimals: int) -> str:
    if row is None:
        return UNKNOWN
    return "\n".join(pair(factor * float(row["mean"]), factor * float(row["half_width"]), decimals)).rstrip()
