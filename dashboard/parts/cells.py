"""One sheet as a table to type in: which columns it shows, what their cells take, and what was typed."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Sequence
from dataclasses import dataclass
from typing import Any, Literal

import pandas as pd
import streamlit as st

from dashboard.desk import Desk
from dashboard.parts.cell_columns import cell_columns, in_sight
from dashboard.parts.draft import Typed, take
from dashboard.parts.show import beside, note
from dashboard.parts.spread_cells import in_three, in_three_faults, of_three, shown_order, spreading, three_columns
from linesim.works.book.layout import Table
from linesim.works.book.spots import Raw

__all__ = ["sheet_table"]

_SHOWN = "sheet shown"
_HIGHEST_PX = 620
_MANY = 15
"""Rows from which on a table has a height of its own, and is moved within it."""
_UP_TO_DATE = "Names that you typed are then offered in the lists, and columns that your figures need come into sight."
_PAST = -1
"""Stamp of a table that is to be laid out anew."""


@dataclass(frozen=True)
class _Look:
    """How a table is laid out.

    Parameters
    ----------
    order : list of str
        Headings of the columns in sight.
    config : dict
        What the cells of each column take.
    spreading : list of str
        Columns that are laid out in three.
    height : int or "content"
        Of the table, px.
    """

    order: list[str]
    config: dict[str, Any]
    spreading: list[str]
    height: int | Literal["content"]

    def offers_as(self, other: _Look) -> bool:
        """Whether both have the same columns, and these offer the same."""
        return self.order == other.order and str(self.config) == str(other.config)


@dataclass
class _Shown:
    """The table that stands on the page.

    The library draws a table anew when anything about it is another one, and whatever is being typed in it then is
    gone. So it stays as it was laid out while somebody types in it; lists and columns follow on demand.

    Parameters
    ----------
    asked : tuple
        The sheet, and the columns that were asked for.
    look : _Look
        Its columns, what they offer, and how high it is.
    stamp : int
        Of the sheets that it shows, with what was typed into it.
    number : int
        Rises each time it is laid out.
    rows : DataFrame
        As it was laid out.
    seen : dict of list
        What stood in the table when it was last looked at: cells by its rows' labels, in the order of the sheet's rows.
        Cells of the sheet that follow what was typed, as a name that is spoken of, stay here as they were shown.
    """

    asked: tuple[Any, ...]
    look: _Look
    stamp: int
    number: int
    rows: pd.DataFrame
    seen: dict[Any, list[Raw]]

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
    look, shown = _look(now, table, more), st.session_state.get(_SHOWN)
    asked = (table.title, tuple(more))
    if shown is None or shown.asked != asked or shown.stamp != now.stamp or shown.key not in st.session_state:
        shown = _laid_out(now, table, asked, look, 0 if shown is None else shown.number + 1)
        st.session_state[_SHOWN] = shown
    look, is_late = shown.look, not shown.look.offers_as(look)
    answer = st.data_editor(
        shown.rows, key=shown.key, num_rows="fixed" if table.is_list else "dynamic", hide_index=True,
        column_order=look.order, column_config=look.config, width="stretch", height=look.height, placeholder="",
    )  # fmt: skip
    if look.spreading:
        beside(in_three_faults(answer, look.spreading, table.keys[-1]))
    is_wanted = _asked_up_to_date(_behind(now, table, shown), is_late=is_late)
    is_typed = _take_over(desk, now, table, shown, answer)
    if is_wanted:
        shown.stamp = _PAST
    if is_wanted or is_typed:
        st.rerun()  # for the table, or what the page says above it


def _asked_up_to_date(behind: int, *, is_late: bool) -> bool:
    """Offer to lay the table out anew, and say what it does not show yet; returns whether that was asked for."""
    if not behind and not is_late:
        return False
    with st.container(horizontal=True, vertical_alignment="center"):
        is_wanted = st.button("Bring lists and columns up to date", key="up to date", help=_UP_TO_DATE)
        if behind:
            cells = "1 cell of this table still shows" if behind == 1 else f"{behind} cells of this table still show"
            note(f"{cells} the old name; everywhere else the new one stands.")
    return is_wanted


def _behind(now: Typed, table: Table, shown: _Shown) -> int:
    """How many cells in sight show something else than the sheet has: names that were typed over elsewhere."""
    head, *rows = now.draft.grids[table.title]
    shown_at = [
        at for at, heading in enumerate(head) if str(heading) in shown.look.config and heading in shown.look.order
    ]
    pairs = zip(shown.seen.values(), _filled(rows, len(head)), strict=True)
    return sum(_text(seen[at]) != _text(row[at]) for seen, row in pairs for at in shown_at)


def _look(now: Typed, table: Table, more: Sequence[str]) -> _Look:
    """How the sheet would be laid out now."""
    head, *rows = now.draft.grids[table.title]
    headings = [str(cell) for cell in head]
    order = in_sight(table, headings, rows, more, now.draft)
    plain = cell_columns(table, headings, rows, now.draft)
    config, three = dict(plain), spreading(table, headings, rows, order, more)
    for heading in three:
        at = headings.index(heading)
        config |= three_columns(heading, [row[at] for row in rows if at < len(row)], plain[heading]["help"])
    return _Look(shown_order(order, three), config, three, "content" if len(rows) < _MANY else _HIGHEST_PX)


def _laid_out(now: Typed, table: Table, asked: tuple[Any, ...], look: _Look, number: int) -> _Shown:
    """The sheet as a table of its own."""
    head, *rows = now.draft.grids[table.title]
    frame = _frame([str(cell) for cell in head], rows, _figures(look.config).difference(look.spreading))
    laid_out = in_three(frame, look.spreading, rows)
    return _Shown(asked, look, now.stamp, number, laid_out, dict(enumerate(_filled(rows, len(head)))))


def _take_over(desk: Desk, now: Typed, table: Table, shown: _Shown, answer: pd.DataFrame) -> bool:
    """Take over what stands in the table, if it is not what stood there before; returns whether it was not."""
    typed = of_three(answer, shown.look.spreading, shown.seen)
    seen = {label: _cells(row, shown.seen.get(label, [])) for label, *row in typed.itertuples(name=None)}
    if list(seen.items()) == list(shown.seen.items()):
        return False
    head, *rows = now.draft.grids[table.title]
    numbers = {label: number for number, label in enumerate(shown.seen)}
    sheet = dict(zip(shown.seen, _filled(rows, len(head)), strict=True))
    after = [
        (numbers.get(label), _typed_over(row, shown.seen.get(label), sheet.get(label))) for label, row in seen.items()
    ]
    now = take(desk, now.draft.edited(table.title, after), f"what you typed on the sheet {table.title}")
    shown.stamp, shown.seen = now.stamp, seen
    return True


def _typed_over(row: list[Raw], before: list[Raw] | None, sheet: list[Raw] | None) -> list[Raw]:
    """A row of the sheet with those cells that are not as they were in the table; a new row is as it was typed."""
    if before is None or sheet is None:
        return row
    return [there if cell == was else cell for cell, was, there in zip(row, before, sheet, strict=True)]


def _cells(row: Sequence[Any], before: list[Raw]) -> list[Raw]:
    """The cells of a row, as they were where nothing was typed; what is empty is None."""
    cells = [None if pd.isna(cell) or cell == "" else _plain(cell) for cell in row]
    old = [*before, *[None] * (len(cells) - len(before))]
    return [was if _text(was) == _text(cell) else cell for was, cell in zip(old, cells, strict=True)]


def _plain(cell: Any) -> Raw:
    value = cell.item() if hasattr(cell, "item") else cell
    return int(value) if isinstance(value, float) and value.is_integer() else value


def _figures(config: dict[str, Any]) -> set[str]:
    """Headings of the columns that take numbers alone."""
    return {heading for heading, column in config.items() if column["type_config"]["type"] == "number"}


def _frame(headings: list[str], rows: list[list[Raw]], figures: Collection[str]) -> pd.DataFrame:
    """The rows as the table takes them: columns of figures as numbers, all others as texts."""
    filled = _filled(rows, len(headings))
    columns = {}
    for at, heading in enumerate(headings):
        cells = [row[at] for row in filled]
        columns[heading] = (
            pd.array([None if cell is None else float(cell) for cell in cells], dtype="Float64").astype(float)
            if heading in figures
            else pd.array([_text(cell) for cell in cells], dtype=object)
        )
    return pd.DataFrame(columns)


def _filled(rows: Iterable[list[Raw]], count: int) -> list[list[Raw]]:
    """Rows with a cell for each column."""
    return [[*row, *[None] * (count - len(row))] for row in rows]


def _text(cell: Raw) -> str | None:
    return None if cell is None else f"{cell:.15g}" if isinstance(cell, (int, float)) else str(cell)
