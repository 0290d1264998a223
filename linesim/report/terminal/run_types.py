"""Part types, changeovers and lines that meet in one run, for the terminal."""

from __future__ import annotations

from collections.abc import Hashable, Iterator, Mapping
from typing import Any

from rich.console import RenderableType

from linesim.report.terminal.run_troubles import with_headings
from linesim.report.theme.grid import Column, grid, number_columns
from linesim.report.theme.shown import number
from linesim.result import Result
from linesim.works import Works
from linesim.works.doing import called_at

__all__ = ["type_tables"]

Row = dict[str, Any]


def type_tables(result: Result) -> Iterator[RenderableType]:
    """Tables on part types, changeovers and lines that meet, each only where there is anything in it.

    Parameters
    ----------
    result : Result
        What to show.

    Yields
    ------
    rich.table.Table
    """
    works, money = result.works, result.works.currency
    if len(result.types):
        columns = [Column("part type", True, 18)]
        columns += number_columns("castings", "shipped", "in limits", "scrapped", "good/h", "lead min")
        columns += number_columns(f"worth less castings {money} /h")
        yield grid("Part types", columns, with_headings(works, result.types, _type))
    if len(result.changeovers):
        columns = [Column("operation", True, 34)]
        columns += number_columns("changeovers", "min", "min each", "parts between", "% of time")
        yield grid("Changeovers between part types", columns, with_headings(works, result.changeovers, _changeover))
    if len(result.joins):
        columns = [Column("joined parts", True, 14), Column("at", True, 30), Column("by", True, 12)]
        columns += number_columns("joined", "left over", "stock", "% waits fellow", "fit ± um", "range um")
        yield grid("Lines that meet", columns, (_join(works, row) for row in result.joins.to_dict(orient="records")))


def _join(works: Works, row: Mapping[Hashable, Any]) -> list[str]:
    counts = [str(row[name]) for name in ("joined", "left_over")]
    stood = [number(row["mean_stock"], 1), number(100.0 * row["waited_share"], 1)]
    at = called_at(works, row["line"], row["operation"])
    return [row["line"], at, row["by"], *counts, *stood, *(number(row[name], 1) for name in _FIT)]


_FIT = ("sd_fit_um", "range_fit_um")


def _type(row: Row) -> list[str]:
    counts = [str(row[name]) for name in ("castings", "shipped", "in_limits", "scrapped")]
    rates = [number(row["good_per_hour"], 2), number(row["mean_lead_min"], 0)]
    return [row["part_type"], *counts, *rates, number(row["worth_less_castings_per_hour"], 2)]


def _changeover(row: Row) -> list[str]:
    minutes = [number(row["minutes"], 0), number(row["min_per_changeover"], 1), number(row["parts_per_changeover"], 1)]
    return [row["operation"], str(row["changeovers"]), *minutes, number(100.0 * row["share"], 1)]
