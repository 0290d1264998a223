"""Variants of the routing typed into a table: added, copied, renamed and taken away; kept with the desk."""

from __future__ import annotations

from collections.abc import Callable
from typing import NamedTuple

import pandas as pd
import streamlit as st

from dashboard.desk import Desk
from dashboard.parts.choose import pick, picked_for, policy_in_hand
from dashboard.parts.guard import tell
from dashboard.parts.show import note
from linesim.errors import LinesimError
from linesim.report.theme.safe import in_markdown
from linesim.routing.typed_variants import (
    AS_IT_STANDS,
    LEFT_OUT,
    TypedChange,
    change_places,
    copied,
    removed,
    renamed,
    variants_text,
)
from linesim.routing.variants import variants_from_text

__all__ = ["ASKED", "FILE", "TYPED", "type_variants"]

FILE = "typed variants"
_ROWS = "typed variants"
ASKED = "typed variants asked"
"""The choice of a desk that holds them as a file would say them, once they have been asked for."""
TYPED = "yours, as typed in"
"""What they are called among all variants."""
_COLUMNS = ("variant", "what changes", "becomes")


class _Rows(NamedTuple):
    """The table as it was laid out, with what it offers, and what stands in it now.

    The library forgets what was typed where a table offers something else under the same name.
    """

    number: int
    laid_out: list[TypedChange]
    now: list[TypedChange]
    places: tuple[str, ...]

    @property
    def key(self) -> str:
        """Of the table on the page."""
        return f"typed variants {self.number}"


def type_variants(desk: Desk) -> None:
    """The table, its tools and the button that asks.

    Parameters
    ----------
    desk : Desk
        Whose line it is.
    """
    lines = list(desk.works.lines)
    line = lines[0] if len(lines) == 1 else pick(desk, "line of variants", "Line of these variants", lines)
    places = change_places(desk.works, line)
    note(
        f'Each row changes one figure of one variant; a variant may have several rows. "{AS_IT_STANDS}" needs none. '
        f'"{LEFT_OUT}" takes an operation, a stroke, a cut or a gauge away; "after" puts an operation behind another.'
    )
    rows = _typed(desk, _shown(desk, tuple(places)))
    _tools(desk, rows)
    if st.button("Set these variants side by side", key="ask typed variants", type="primary"):
        try:
            text = variants_text(desk.works, line, policy_in_hand(desk), rows.now)
            variants_from_text(text, desk.works, FILE)
        except LinesimError as error:
            tell(error)
        else:
            desk.choices[ASKED] = text
            picked_for(desk, "variants", TYPED)
            st.rerun()


def _shown(desk: Desk, places: tuple[str, ...]) -> _Rows:
    """The table of this page; laid out anew where the page was left, the server begun again or the line changed."""
    rows: _Rows | None = desk.choices.get(_ROWS)
    if rows is None:
        kept = [] if desk.kept is None else desk.kept.noted(FILE)
        rows = _Rows(0, *([[TypedChange(*row) for row in kept]] * 2), places)
    elif rows.key not in st.session_state or rows.places != places:
        rows = _Rows(rows.number + 1, rows.now, rows.now, places)
    desk.choices[_ROWS] = rows
    return rows


def _typed(desk: Desk, rows: _Rows) -> _Rows:
    """The table to type in, with what was typed."""
    there = [row.where for row in rows.laid_out if row.where and row.where not in rows.places]
    config = {
        "variant": st.column_config.TextColumn(max_chars=80, help="A name of your own"),
        "what changes": st.column_config.SelectboxColumn(options=[*rows.places, *dict.fromkeys(there)], width="large"),
        "becomes": st.column_config.TextColumn(max_chars=200, help="With its unit: 0.3 mm, 120 m/min, 9 min"),
    }
    frame = pd.DataFrame(rows.laid_out, columns=_COLUMNS, dtype=object)
    answer = st.data_editor(
        frame, key=rows.key, num_rows="dynamic", hide_index=True, column_config=config, width="stretch", placeholder=""
    )
    now = [TypedChange(*("" if pd.isna(cell) else str(cell) for cell in row)) for row in answer.itertuples(index=False)]
    if now != rows.now:
        rows = rows._replace(now=now)
        _keep(desk, rows)
    return rows


def _tools(desk: Desk, rows: _Rows) -> None:
    """Copying, renaming and taking away a whole variant."""
    names = list(dict.fromkeys(row.variant for row in rows.now if row.variant.strip()))
    if not names:
        return
    left, middle, right = st.columns([2, 2, 3], vertical_alignment="bottom")
    with left:
        name = st.selectbox("Variant to copy, rename or take away", names, key="variant in hand")
    with middle:
        to = st.text_input("New name", f"{name} (2)", key=f"new name of {name}", max_chars=80)
    tools: tuple[tuple[str, Callable[[], list[TypedChange]]], ...] = (
        ("Copy", lambda: copied(rows.now, name, to)),
        ("Rename", lambda: renamed(rows.now, name, to)),
        ("Take away", lambda: removed(rows.now, name)),
    )
    with right, st.container(horizontal=True):
        for words, change in tools:
            if st.button(words, key=f"variant {words}"):
                _changed(desk, rows, change)


def _changed(desk: Desk, rows: _Rows, change: Callable[[], list[TypedChange]]) -> None:
    try:
        now = change()
    except LinesimError as error:
        tell(error)
        return
    _keep(desk, _Rows(rows.number + 1, now, now, rows.places))
    st.rerun()


def _keep(desk: Desk, rows: _Rows) -> None:
    """Keep what was typed, with the desk."""
    desk.choices[_ROWS] = rows
    if desk.kept is None or not desk.may_change:
        return
    try:
        desk.kept.begin(desk.works, desk.origin)
        desk.kept.note(FILE, [list(row) for row in rows.now])
    except LinesimError as error:
        st.warning(in_markdown(f"What you typed stands here, but it could not be kept: {error}", 600))
