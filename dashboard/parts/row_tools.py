"""What is done to a whole row of a sheet, with all that stands below it on other sheets."""

from __future__ import annotations

import streamlit as st

from dashboard.desk import Desk
from dashboard.parts.choose import pick
from dashboard.parts.draft import Typed, take
from dashboard.parts.guard import tell
from linesim.errors import LinesimError
from linesim.report.theme.safe import in_markdown
from linesim.works.book.layout import Table

__all__ = ["row_tools"]


def row_tools(desk: Desk, now: Typed, table: Table) -> None:
    """Copy a row, or move it up or down."""
    rows = {" / ".join(names): names for names in now.draft.names(table.title)}
    if not rows:
        return
    word = table.keys[-1]
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
