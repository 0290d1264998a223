"""Part types under several policies: good parts of each an hour, and how they differ from one policy."""

from __future__ import annotations

from collections.abc import Hashable
from typing import Any

from linesim.report.theme.markup import Cell, numbers
from linesim.report.theme.picture import Sheet
from linesim.report.theme.shown import UNKNOWN, number, within
from linesim.study import Comparison
from linesim.words import say

__all__ = ["type_sheet"]


def type_sheet(answer: Comparison) -> Sheet | None:
    """Good parts of each type an hour, policy by policy; None where no line makes several types.

    Parameters
    ----------
    answer : Comparison
        What to show.

    Returns
    -------
    Sheet or None
        Of every policy but the one named in the caption the paired difference stands beside it; ``~`` marks one that is
        not significant.
    """
    table = answer.types
    if table.empty:
        return None
    kinds = list(dict.fromkeys(zip(table["line"], table["part_type"], strict=True)))
    cells = {(row["policy"], row["line"], row["part_type"]): row for row in table.to_dict(orient="records")}
    heads: list[Cell] = [say("compare.policy")]
    for line, kind in kinds:
        name = kind if len(answer.works.lines) == 1 else say("compare.of_line", line=line, name=kind)
        heads += numbers(say("compare.an_hour", name=name), say("compare.difference"))
    rows: list[list[Cell]] = [
        [policy, *(cell for at in kinds for cell in _cells(cells.get((policy, *at))))] for policy in answer.names
    ]
    caption = say("compare.types_caption", policy=table["against"].iloc[0])
    return Sheet(caption, heads, rows, table)


def _cells(row: dict[Hashable, Any] | None) -> list[Cell]:
    """Good parts of one type an hour, and the difference."""
    if row is None:
        return numbers(UNKNOWN, "")
    mean = numbers(number(float(row["good_per_hour"]), 2))
    if row["policy"] == row["against"]:
        return [*mean, *numbers("")]
    is_apart = bool(row["is_apart"])
    return [*mean, (within(row["mean"], row["half_width"], is_open=not is_apart), "n" if is_apart else "n open")]
