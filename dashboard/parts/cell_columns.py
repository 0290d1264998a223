"""Which columns of a sheet are in sight, and what their cells take: a name from a list, a number, a text."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import Any

import streamlit as st

from linesim.report.theme.safe import in_markdown
from linesim.works.book.dressing import note_of
from linesim.works.book.editing import Draft
from linesim.works.book.layout import Column, Table, layout_of
from linesim.works.book.offers import offer_of
from linesim.works.book.spots import Raw
from linesim.works.nodes import Path

__all__ = ["cell_columns", "in_sight"]

_FEW = 4
"""A table with no more columns of values than these shows them all."""
_NUMBER = "They are taken in the order of these numbers. Left empty, it is the next one."
_RANKS = {"assumed": 0, "about": 2}
"""What is assumed stands where nobody has to look for it, remarks where they push no figure out of sight."""


def in_sight(table: Table, headings: list[str], rows: list[list[Raw]], more: Sequence[str], draft: Draft) -> list[str]:
    """Headings of the columns that are shown: names, what is needed, what is in use, and those asked for.

    Parameters
    ----------
    table : Table
        The sheet.
    headings : list of str
        Of all its columns.
    rows : list of list
        Its cells.
    more : sequence of str
        Headings asked for.
    draft : Draft
        All sheets.
    """
    if table.is_list:
        return headings
    lines = draft.names("Line")
    names = [key for key in headings[: len(table.keys)] if key != "line" or len(lines) != 1 or table.title == "Line"]
    start = len(table.keys)
    used = {at for at in range(start, len(headings)) if any(at < len(row) and row[at] is not None for row in rows)}
    groups = {table.columns[at - start].path[:-1] for at in used}
    shown = [
        headings[at]
        for at, column in enumerate(table.columns, start=start)
        if at in used or headings[at] in more or _is_needed(column, groups) or len(table.columns) <= _FEW
    ]
    return [*names, *sorted(shown, key=lambda heading: _RANKS.get(heading, 1))]


def _is_needed(column: Column, groups: set[Path]) -> bool:
    """Whether a row has to say it: always, or because it says something of the same group."""
    return column.is_required and (len(column.path) <= 1 or column.path[:-1] in groups)


def cell_columns(table: Table, headings: list[str], rows: list[list[Raw]], draft: Draft) -> dict[str, Any]:
    """What the cells of each column take, by its heading; see `in_sight`."""
    if table.is_list:
        texts = {heading: st.column_config.TextColumn(disabled=heading != "value") for heading in headings}
        return dict(texts)
    result: dict[str, Any] = {}
    for at, heading in enumerate(headings):
        cells = [row[at] for row in rows if at < len(row) and row[at] is not None]
        key = at < len(table.keys)
        result[heading] = (
            _names_column(table, at, draft)
            if key
            else _values_column(table.columns[at - len(table.keys)], cells, draft)
        )
    return result


def _names_column(table: Table, at: int, draft: Draft) -> Any:
    """A column of names: the last is the row's own, the others are of rows on other sheets."""
    word = table.keys[at]
    above = next((other for other in layout_of().tables if other.path and other.keys == table.keys[: at + 1]), None)
    if table.is_items and at == len(table.keys) - 1 and _are_numbers(row[at] for row in draft.rows(table.title)):
        return st.column_config.NumberColumn(word, required=False, pinned=True, min_value=1, step=1, help=_NUMBER)
    if above is None or above is table or above.is_implied:
        return st.column_config.TextColumn(word, required=False, pinned=True, max_chars=200)
    there = [row[at] for row in draft.rows(table.title) if at < len(row)]
    options = _options((names[-1] for names in draft.names(above.title)), there)
    return st.column_config.SelectboxColumn(word, options=options, pinned=True)


def _are_numbers(cells: Iterable[Raw]) -> bool:
    return all(isinstance(cell, (int, float, type(None))) for cell in cells)


def _values_column(column: Column, cells: list[Raw], draft: Draft) -> Any:
    """A column of values: chosen from what may stand there, a number, or a text as a file would have it."""
    help_text, is_remark = in_markdown(note_of(column), 600), column.path in (("about",), ("assumed",))
    offer = offer_of(column, layout_of())
    if offer is not None and (offer.is_bound or offer.title):
        words = [names[-1] for names in draft.names(offer.title)] if offer.title else offer.words
        return st.column_config.SelectboxColumn(options=_options(words, cells), help=help_text)
    is_figure = column.shape.quantity is not None or column.shape.expected in (("a number",), ("a whole number",))
    if is_figure and not column.choices and _are_numbers(cells):
        return st.column_config.NumberColumn(help=help_text)
    return st.column_config.TextColumn(help=help_text, max_chars=2000, width="medium" if is_remark else None)


def _options(words: Iterable[str], there: Iterable[Raw]) -> list[str]:
    """What may be chosen, and whatever stands in the column already."""
    return list(dict.fromkeys([*words, *(str(cell) for cell in there if cell is not None)]))
