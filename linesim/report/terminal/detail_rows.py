"""Stock, lead time, waits and capability of a comparison: the details that a person asks for first."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

import pandas as pd

from linesim.report.theme.shown import UNKNOWN, beyond_capability, pair
from linesim.result.crib_tables import GRINDERS
from linesim.study import Comparison
from linesim.study.comparing.words import whose_words
from linesim.words import keep

__all__ = ["DetailRow", "detail_rows"]


@dataclass(frozen=True)
class DetailRow:
    """One detail under every policy.

    Attributes
    ----------
    words : str
        What it is, with its unit; the name of a line in a heading.
    figures : dict
        By policy: mean and "± half width" as they are printed, the latter empty where there is none; no policy at all
        in a heading.
    """

    words: str
    figures: dict[str, tuple[str, str]]


def detail_rows(comparison: Comparison) -> list[DetailRow]:
    """The details that a person asks for first; all of them stand in the tables that can be exported.

    Of waits and capabilities the worst one of each line is shown, in the mean over the policies.

    Parameters
    ----------
    comparison : Comparison

    Returns
    -------
    list of DetailRow
    """
    table = comparison.details
    cells = {tuple(row[name] for name in _KEY): row for row in table.to_dict("records")}
    return [
        DetailRow(words, {name: _figure(cells.get((name, *key)), factor, decimals) for name in comparison.names if key})
        for words, key, factor, decimals in _chosen(table, list(comparison.works.lines))
    ]


_KEY = ("policy", "of", "line", "operation", "name", "characteristic", "figure")

_Row = tuple[str, tuple[str, ...], float, int]
"""Words, key without the policy, factor and decimals; a heading has no key."""


def _chosen(table: pd.DataFrame, lines: list[str]) -> Iterator[_Row]:
    """Which figures are shown."""
    for line in lines:
        if len(lines) > 1:
            yield line, (), 1.0, 0
        yield keep("details.in_line"), ("line", line, "", "", "", "mean_in_line"), 1.0, 1
        yield keep("details.lead_time"), ("line", line, "", "", "", "mean_lead_min"), 1.0, 0
        key = _worst(table, "operation", line, "mean_wait_min")
        if key is not None:
            yield keep("details.part_waits", operation=key[2]), key, 1.0, 1
        key = _worst(table, "characteristic", line, "cpk", least=True)
        if key is not None:
            yield keep("details.lowest_cpk", whose=whose_words(key[3], key[4])), key, 1.0, 2
            yield keep("details.out"), (*key[:5], "share_out"), 100.0, 1
    key = _worst(table, "people", "", "mean_wait_min")
    if key is not None:
        words = keep("details.grinding_waits") if key[3] == GRINDERS else keep("details.job_waits", name=key[3])
        yield words, key, 1.0, 1
    key = _worst(table, "cutter", "", "mean_wait_min")
    if key is not None:
        yield keep("details.set_waits", name=key[3]), key, 1.0, 1


def _worst(table: pd.DataFrame, of: str, line: str, name: str, *, least: bool = False) -> tuple[str, ...] | None:
    """The key of the greatest (or least) figure of a kind; None if none is known, or nothing waits."""
    own = table[(table["of"] == of) & (table["line"] == line) & (table["figure"] == name)]
    means = own.groupby(list(_KEY[1:]), sort=False)["mean"].mean().dropna()
    if means.empty or (not least and means.max() <= 0.0):
        return None
    answer: Any = means.idxmin() if least else means.idxmax()
    return tuple(str(part) for part in answer)


def _figure(row: dict[Any, Any] | None, factor: float, decimals: int) -> tuple[str, str]:
    if row is None:
        return UNKNOWN, ""
    if row["figure"] == "cpk" and (beyond := beyond_capability(float(row["mean"]))):
        return beyond, ""
    mean, width = pair(factor * float(row["mean"]), factor * float(row["half_width"]), decimals)
    return mean, width
