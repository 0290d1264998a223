"""Stock, lead time, waits and capability of a comparison, as a short table for the terminal."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from rich.console import RenderableType

from linesim.report.terminal.detail_rows import DetailRow, detail_rows
from linesim.report.theme.grid import Column, chunks, grid, plain
from linesim.study import Comparison

__all__ = ["detail_tables"]

_POLICIES_ABREAST = 5


def detail_tables(comparison: Comparison) -> Iterator[RenderableType]:
    """The details that a person asks for first, one table for every five policies.

    Parameters
    ----------
    comparison : Comparison

    Yields
    ------
    rich.console.RenderableType
    """
    details = detail_rows(comparison)
    for names in chunks(comparison.names, _POLICIES_ABREAST):
        columns = [Column("mean ± half width", True, 38), *(Column(name, least=11) for name in names)]
        rows = [[plain(detail.words), *_cells(detail, names)] for detail in details]
        yield grid("Stock, waits and capability (all of them: --csv or --json, details)", columns, rows)


def _cells(detail: DetailRow, names: Sequence[str]) -> list[str]:
    return ["\n".join(detail.figures[name]).rstrip() for name in names] if detail.figures else []
