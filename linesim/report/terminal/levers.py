"""What a search for the best intervals moves beside them, for the terminal."""

from __future__ import annotations

import math
from typing import Any

from rich.console import RenderableType

from linesim.report.theme.grid import Column, grid, number_columns
from linesim.report.theme.shown import UNKNOWN
from linesim.study.search import BestIntervals
from linesim.words import localised, retell, say

__all__ = ["lever_words", "levers_grid", "range_words", "set_shown"]

Row = dict[Any, Any]


def lever_words(row: Row) -> str:
    """The flat range of a lever as it is read.

    >>> lever_words({"flat_low": 2.5, "flat_high": 6.0, "low_is_sure": True, "high_is_sure": False})
    '2.5 to ≥ 6'
    """
    if row["flat_low"] is None or math.isnan(row["flat_low"]):
        return UNKNOWN
    low, high = (localised(f"{row[end]:g}") for end in ("flat_low", "flat_high"))
    return range_words(low, high, row)


def range_words(low: str, high: str, row: Row) -> str:
    """From one end of a flat range to the other; ≤ and ≥ where it may go further than is known."""
    ends = {"low": f"{'' if row['low_is_sure'] else '≤ '}{low}", "high": f"{'' if row['high_is_sure'] else '≥ '}{high}"}
    return say("coming.band", **ends)


def levers_grid(answer: BestIntervals) -> RenderableType:
    """What was sought beside the intervals."""
    percent = f"{100.0 * answer.tolerance:g} %"
    columns = [Column("lever", True, 36), *number_columns("best", "before"), Column(f"flat within {percent}", least=14)]
    rows = [
        [lever.name, *(lever.shown(row[name]) for name in ("value", "before")), lever_words(row)]
        for lever, row in zip(answer.levers, answer.lever_values.to_dict(orient="records"), strict=True)
    ]
    return grid("Beside the intervals (an aim is deeper than intended, µm per side)", columns, rows)


def set_shown(row: Row) -> str:
    """A cutter set, with its rule where that is no count of parts, which its other columns then leave empty.

    >>> set_shown({"cutter": "mill", "parts": 40, "rule": "after 40 parts"})
    'mill'
    >>> set_shown({"cutter": "mill", "parts": None, "rule": "at the start of every shift"})
    'mill: at the start of every shift'
    """
    return str(row["cutter"]) if row["parts"] is not None else f"{row['cutter']}: {retell(row['rule'])}"
