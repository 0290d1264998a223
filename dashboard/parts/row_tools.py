"""What is done to a whole row of a sheet, with all that stands below it on other sheets."""

from __future__ import annotations

import streamlit as st

from dashboard.desk import Desk
from dashboard.parts.choose import pick
from dashboard.parts.draft import Typed, take
from dashboard.parts.guard import tell
from dashboard.parts.order import put_in_order
from linesim.errors import LinesimError
from linesim.report.theme.safe import in_markdown
from linesim.works.book.layout import Table

__all__ = ["row_tools"]

_MOST_IN_ORDER = 40
"""More names than that are moved by the buttons alone."""


def row_tools(desk: Desk, now: Typed, table: Table) -> None:
    """Copy a row, or move it: by mouse or arrow keys among its like, or by buttons."""
    rows = {" / ".join(names): names for names in now.draft.names(table.title)}
    if not rows:
        return
    word = table.keys[-1]
    chosen = rows[desk.chosen(f"row of {table.title}", list(rows))]
    like = [names for names in rows.values() if names[:-1] == chosen[:-1]]
    if 1 < len(like) <= _MOST_IN_ORDER:
        within = f" of {' / '.join(chosen[:-1])}" if len(like) < len(rows) else ""
        words = f"The order{within}: drag a name, or go to it with Tab and press the arrow keys"
        moved = put_in_order([names[-1] for names in like], words, f"order {table.title}")
        if moved is not None:
            at, by = moved
            _changed(desk, now, f"moving {like[at][-1]} {'later' if by > 0 else 'earlier'}", table, like[at], by=by)
    left, middle, right = st.columns([2, 2, 3], vertical_alignment="bottom")
    with left:
        names = rows[pick(desk, f"row of {table.title}", f"{word.capitalize()} to copy or to move", list(rows))]
    with middle:
        to = st.text_input("Name of the copy", f"{names[-1]} (2)", key=f"copy of {table.title} {names}", max_chars=200)
    with right, st.container(horizontal=True):
        if st.button("Copy", key="copy row", help=f"With everything that stands below this {word} on other sheets"):
            _changed(desk, now, f"copying {names[-1]}", table, names, copy_to=to)
        if st.button("Move up", key="move up"):
            _changed(desk, now, f"moving {names[-1]} up", table, names, by=-1)
        if st.button("Move down", key="move down"):
            _changed(desk, now, f"moving {names[-1]} down", table, names, by=1)


def _changed(
    desk: Desk, now: Typed, words: str, table: Table, names: tuple[str, ...], copy_to: str = "", by: int = 0
) -> None:
    """Copy a row, or move it."""
    try:
        draft = now.draft.moved(table.title, names, by) if by else now.draft.copied(table.title, names, copy_to)
    except LinesimError as error:
        tell(error)
        return
    take(desk, draft, in_markdown(words))
    st.rerun()
