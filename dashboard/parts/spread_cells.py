"""Columns of times that spread, as they are typed: about how long, how it spreads, by how much."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

import pandas as pd
import streamlit as st

from linesim.works.book.layout import Table
from linesim.works.book.spots import Raw
from linesim.works.book.spreads import (
    BY_HELP,
    KIND_HELP,
    KINDS,
    Parts,
    fault_of,
    joined,
    parted,
    read_by,
    shown_by,
)

__all__ = ["in_three", "in_three_faults", "may_spread", "of_three", "shown_order", "spreading", "three_columns"]

_HOW, _BY = "{}: how it spreads", "{}: by"


def spreading(
    table: Table,
    headings: Sequence[str],
    rows: Sequence[Sequence[Raw]],
    shown: Sequence[str],
    more: Sequence[str] = (),
) -> list[str]:
    """Which columns of a sheet are typed in three.

    Parameters
    ----------
    table : Table
        The sheet.
    headings : sequence of str
        Of all its columns.
    rows : sequence of sequence
        Its cells.
    shown : sequence of str
        Headings in sight.
    more : sequence of str
        Of those asked for; see `may_spread`.

    Returns
    -------
    list of str
        Times that spread in one of the rows or are asked for as such, and those of breakdowns, which hardly ever are
        always the same.
    """
    times = _times(table, headings)
    return [
        heading
        for heading, at in times.items()
        if heading in shown
        and (
            _HOW.format(heading) in more
            or table.columns[at - len(table.keys)].path[:1] == ("breakdowns",)
            or any(parted(row[at]).kind for row in rows if at < len(row))
        )
    ]


def may_spread(table: Table, headings: Sequence[str], rows: Sequence[Sequence[Raw]], shown: Sequence[str]) -> list[str]:
    """Headings by which to ask for how times in sight spread that are always the same so far; see `spreading`."""
    already = spreading(table, headings, rows, shown)
    return [_HOW.format(heading) for heading in _times(table, headings) if heading in shown and heading not in already]


def _times(table: Table, headings: Sequence[str]) -> dict[str, int]:
    """The columns of a sheet in which a time may spread, by their headings, with their numbers."""
    start = len(table.keys)
    models = [] if table.is_list else [column.shape.model for column in table.columns]
    return {headings[at]: at for at, model in enumerate(models, start) if model is not None and model.in_one_cell}


def three_columns(heading: str, cells: Sequence[Raw], help_text: str | None) -> dict[str, Any]:
    """What the three columns of a time take, by their headings."""
    are_figures = all(isinstance(parted(cell).about, (int, float, type(None))) for cell in cells)
    about = st.column_config.NumberColumn if are_figures else st.column_config.TextColumn
    return {
        heading: about(help=help_text),
        _HOW.format(heading): st.column_config.SelectboxColumn(options=list(KINDS), help=KIND_HELP),
        _BY.format(heading): st.column_config.TextColumn(help=BY_HELP),
    }


def in_three(frame: pd.DataFrame, headings: Sequence[str], rows: Sequence[Sequence[Raw]]) -> pd.DataFrame:
    """The table as it is shown: each of these columns laid out in three.

    Parameters
    ----------
    frame : DataFrame
        The sheet, with one column for each heading.
    headings : sequence of str
        Columns that are laid out in three.
    rows : sequence of sequence
        The cells of the sheet as they are, row by row.
    """
    result = frame.copy()
    for heading in headings:
        at = frame.columns.get_loc(heading)
        cells = [parted(row[at]) if at < len(row) else Parts() for row in rows]
        are_figures = all(isinstance(cell.about, (int, float, type(None))) for cell in cells)
        abouts = [cell.about if are_figures or cell.about is None else str(cell.about) for cell in cells]
        result[heading] = pd.Series(abouts, dtype=float if are_figures else object, index=frame.index)
        result[_HOW.format(heading)] = pd.Series([cell.kind for cell in cells], dtype=object, index=frame.index)
        result[_BY.format(heading)] = pd.Series([shown_by(cell.by) for cell in cells], dtype=object, index=frame.index)
    return result


def shown_order(order: Sequence[str], headings: Sequence[str]) -> list[str]:
    """Headings in the order in which they are shown, each time followed by how it spreads."""
    return [
        name
        for heading in order
        for name in ((heading, _HOW.format(heading), _BY.format(heading)) if heading in headings else (heading,))
    ]


def of_three(answer: pd.DataFrame, headings: Sequence[str], before: Mapping[Any, Sequence[Raw]]) -> pd.DataFrame:
    """The table as the sheet has it: what was typed in three columns joined again.

    Parameters
    ----------
    answer : DataFrame
        As it stands on the page.
    headings : sequence of str
        Columns that were laid out in three.
    before : mapping of label to sequence
        The rows of the sheet as they were.
    """
    result = answer.copy()
    for heading in headings:
        at = answer.columns.get_loc(heading)
        cells = []
        for label, parts in zip(answer.index, _parts(answer, heading), strict=True):
            row = before.get(label, ())
            cells.append(joined(parts, row[at] if at < len(row) else None))
        result[heading] = pd.Series(cells, index=answer.index, dtype=object)
        result = result.drop(columns=[_HOW.format(heading), _BY.format(heading)])
    return result


def in_three_faults(answer: pd.DataFrame, headings: Sequence[str], names: str) -> list[str]:
    """What is wrong with times as they are typed, each with its row and column.

    Parameters
    ----------
    answer : DataFrame
        As it stands on the page.
    headings : sequence of str
        Columns that are laid out in three.
    names : str
        Heading of the column with the names of the rows.
    """
    return [
        f"{name}, {heading}: {fault}"
        for heading in headings
        for name, parts in zip(answer[names], _parts(answer, heading), strict=True)
        if (fault := fault_of(parts))
    ]


def _parts(answer: pd.DataFrame, heading: str) -> list[Parts]:
    columns = (answer[name] for name in (heading, _HOW.format(heading), _BY.format(heading)))
    rows = [
        [None if pd.isna(cell) or cell == "" else _plain(cell) for cell in row] for row in zip(*columns, strict=True)
    ]
    return [Parts(about, kind, read_by(by)) for about, kind, by in rows]


def _plain(cell: Any) -> Any:
    return cell.item() if hasattr(cell, "item") else cell
