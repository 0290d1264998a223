"""The table behind the routing's drawing."""

from __future__ import annotations

from collections.abc import Callable, Hashable, Sequence
from typing import Any

import pandas as pd

from linesim.report.theme.markup import Cell, numbers
from linesim.report.theme.picture import Sheet
from linesim.report.theme.shown import number
from linesim.report.views.routing_signs import way_words
from linesim.works import Works
from linesim.works.doing import called_at

__all__ = ["routing_sheet"]

Row = dict[Hashable, Any]

_MINUTES: dict[str, Callable[[Row], float]] = {
    "handling": lambda row: row["handling_min"],
    "cutting": lambda row: row["cutting_min"],
    "gauging": lambda row: row["gauging_min"],
    "changes": lambda row: row["change_min"] + row["look_min"],
    "changing over": lambda row: row["changeover_min"],
    "first pieces": lambda row: row["first_piece_min"],
    "breakdowns": lambda row: row["breakdown_min"],
    "together": lambda row: row["minutes_per_part"],
}


def routing_sheet(works: Works, rows: Sequence[Row], line: str) -> Sheet:
    """Minutes and pace of each operation of a line, with the way there and changeovers where there are any.

    Parameters
    ----------
    works : Works
        The checked scenario.
    rows : sequence of dict
        The desk's rows of the line's operations.
    line : str
        Its name.

    Returns
    -------
    Sheet
    """
    operations = list(works.lines[line].operations.values())
    ways = [way_words(operation.move) for operation in operations]
    has_ways, has_share = any(ways), any(row["share_of_parts"] < 1.0 for row in rows)
    has_over = any(row["changeover_min"] > 0.0 for row in rows)
    minutes = {name: of for name, of in _MINUTES.items() if has_over or name != "changing over"}
    share = ["parts that come, %"] if has_share else []
    way = ["way there"] if has_ways else []
    figures = numbers(*share, "machines", "room before", *minutes, "parts/h", "load %")
    heads: list[Cell] = ["operation", "what is done", *way, *figures]
    cells: list[list[Cell]] = []
    for at, row in enumerate(rows):
        room = "castings" if at == 0 else str(row["buffer"])
        comes = [number(100.0 * row["share_of_parts"], 0)] if has_share else []
        values = [number(of(row), 2) for of in minutes.values()]
        pace = [number(row["parts_per_hour"], 2), number(row["load_percent"], 0)]
        named = [called_at(works, line, str(row["operation"])), str(row["about"]), *([ways[at]] if has_ways else [])]
        cells.append([*named, *numbers(*comes, str(row["machines"]), room, *values, *pace)])
    caption = f"{line}: minutes of one part on one machine, and parts an hour of each operation by itself"
    return Sheet(caption, heads, cells, pd.DataFrame(rows))
