"""One sheet as a table to type in: which columns it shows, what their cells take, and what was typed."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import Any

import pandas as pd
import streamlit as st

from dashboard.desk import Desk
from dashboard.parts.draft import Typed, take
from dashboard.parts.show import beside
from dashboard.parts.spread_cells import in_three, in_three_faults, of_three, shown_order, spreading, three_columns
from linesim.report.theme.safe import in_markdown
from linesim.works.book.dressing import note_of
from linesim.works.book.editing import Draft
from linesim.works.book.layout import Column, Table, layout_of
from linesim.works.book.offers import offer_of
from linesim.works.book.spots import Raw
from linesim.works.nodes import Path

__all__ = ["sheet_table"]

_SHOWN = "sheet shown"
_HIGHEST_PX = 620
_ASSUMED = "assumed"


@dataclass
class _Shown:
    """The table that stands on the page.

    Parameters
    ----------
    asked : tuple
        What it shows: sheet, columns and what they offer.
    stamp : int
        Of the sheets that it shows, with what was typed into it.
    number : int
        Rises each time it is laid out.
    rows : DataFrame
        As it was laid out.
    labels : list
        Of the sheet's rows now, by their labels in the table.
    spreading : list of str
        Columns that are laid out in three.
    """

    asked: tuple[Any, ...]
    stamp: int
    number: int
    rows: pd.DataFrame
    labels: list[Any]
    spreading: list[str]

    @property
    def key(self) -> str:
        """Of the table on the page."""
        return f"sheet {self.number}"


def sheet_table(desk: Desk, now: Typed, table: Table, more: Sequence[str]) -> None:
    """Show a sheet to type in, and take over what was typed.

    Parameters
    ----------
    desk : Desk
        Whose it is.
    now : Typed
        The sheets.
    table : Table
        The one to show.
    more : sequence of str
        Headings of columns that are shown beside those in use.
    """
    head, *rows = now.draft.grids[table.title]
    headings = [str(cell) for cell in head]
    order = _in_sight(table, headings, rows, more, now.draft)
    plain = _columns(table, headings, rows, now.draft)
    config, three = dict(plain), spreading(table, headings, rows, order)
    for heading in three:
        at = headings.index(heading)
        config |= three_columns(heading, [row[at] for row in rows if at < len(row)], plain[heading]["help"])
    order = shown_order(order, three)
    asked = (table.title, tuple(order), str(config))
    shown: _Shown | None = st.session_state.get(_SHOWN)
    if shown is None or shown.asked != asked or shown.stamp != now.stamp or shown.key not in st.session_state:
        number = 0 if shown is None else shown.number + 1
        shown = _Shown(asked, now.stamp, number, in_three(_frame(headings, rows, plain), three, rows),
                       list(range(len(rows))), three)  # fmt: skip
        st.session_state[_SHOWN] = shown
    answer = st.data_editor(
        shown.rows, key=shown.key, num_rows="fixed" if table.is_list else "dynamic", hide_index=True,
        column_order=order, column_config=config, width="stretch", height=_height(len(rows)), placeholder="",
    )  # fmt: skip
    if three:
        beside(in_three_faults(answer, shown.spreading, table.keys[-1]))
    _take_over(desk, now, table, shown, answer)


def _take_over(desk: Desk, now: Typed, table: Table, shown: _Shown, answer: pd.DataFrame) -> None:
    """Take over what stands in the table, if it is not what stands on the sheet."""
    before = dict(zip(shown.labels, now.draft.rows(table.title), strict=True))
    typed = of_three(answer, shown.spreading, before)
    after = [(label, _cells(row, before.get(label, []))) for label, *row in typed.itertuples(name=None)]
    if list(before.items()) == after:
        return
    at = {label: number for number, label in enumerate(shown.labels)}
    draft = now.draft.edited(table.title, [(at.get(label), row) for label, row in after])
    now = take(desk, draft, f"what you typed on the sheet {table.title}")
    shown.stamp, shown.labels = now.stamp, [label for label, _ in after]
    st.rerun()  # for what the page says above the table


def _cells(row: Sequence[Any], before: list[Raw]) -> list[Raw]:
    """The cells of a row, as they were where nothing was typed; what is empty is None."""
    cells = [None if pd.isna(cell) or cell == "" else _plain(cell) for cell in row]
    old = [*before, *[None] * (len(cells) - len(before))]
    return [was if _text(was) == _text(cell) else cell for was, cell in zip(old, cells, strict=True)]


def _plain(cell: Any) -> Raw:
    value = cell.item() if hasattr(cell, "item") else cell
    return int(value) if isinstance(value, float) and value.is_integer() else value


def _frame(headings: list[str], rows: list[list[Raw]], config: dict[str, Any]) -> pd.DataFrame:
    """The rows as the table takes them: columns of figures as numbers, all others as texts."""
    filled = [[*row, *[None] * (len(headings) - len(row))] for row in rows]
    columns = {}
    for at, heading in enumerate(headings):
        cells = [row[at] for row in filled]
        is_figure = config[heading]["type_config"]["type"] == "number"
        columns[heading] = (
            pd.array([None if cell is None else float(cell) for cell in cells], dtype="Float64").astype(float)
            if is_figure
            else pd.array([_text(cell) for cell in cells], dtype=object)
        )
    return pd.DataFrame(columns)


def _text(cell: Raw) -> str | None:
    return None if cell is None else f"{cell:.15g}" if isinstance(cell, (int, float)) else str(cell)


def _in_sight(table: Table, headings: list[str], rows: list[list[Raw]], more: Sequence[str], draft: Draft) -> list[str]:
    """Headings of the columns that are shown: names, what is needed, what is in use, and those asked for."""
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
        if at in used or headings[at] in more or _is_needed(column, groups)
    ]
    return [*names, *sorted(shown, key=lambda heading: heading != _ASSUMED)]  # where nobody has to look for it


def _is_needed(column: Column, groups: set[Path]) -> bool:
    """Whether a row has to say it: always, or because it says something of the same group."""
    return column.is_required and (len(column.path) <= 1 or column.path[:-1] in groups)


def _columns(table: Table, headings: list[str], rows: list[list[Raw]], draft: Draft) -> dict[str, Any]:
    """What the cells of each column take."""
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
    if above is None or above is table or above.is_implied:
        return st.column_config.TextColumn(word, required=False, pinned=True, max_chars=200)
    there = [row[at] for row in draft.rows(table.title) if at < len(row)]
    options = _options((names[-1] for names in draft.names(above.title)), there)
    return st.column_config.SelectboxColumn(word, options=options, pinned=True)


def _values_column(column: Column, cells: list[Raw], draft: Draft) -> Any:
    """A column of values: chosen from what may stand there, a number, or a text as a file would have it."""
    help_text = in_markdown(note_of(column), 600)
    offer = offer_of(column, layout_of())
    if offer is not None and (offer.is_bound or offer.title):
        words = [names[-1] for names in draft.names(offer.title)] if offer.title else offer.words
        return st.column_config.SelectboxColumn(options=_options(words, cells), help=help_text)
    is_figure = column.shape.quantity is not None or column.shape.expected in (("a number",), ("a whole number",))
    if is_figure and not column.choices and all(isinstance(cell, (int, float)) for cell in cells):
        return st.column_config.NumberColumn(help=help_text)
    return st.column_config.TextColumn(help=help_text, max_chars=2000)


def _options(words: Iterable[str], there: Iterable[Raw]) -> list[str]:
    """What may be chosen, and whatever stands in the column already."""
    return list(dict.fromkeys([*words, *(str(cell) for cell in there if cell is not None)]))


def _height(rows: int) -> int:
    """Of the table, px: as high as its rows, and one to add."""
    return min(_HIGHEST_PX, 42 + 36 * (rows + 2))
