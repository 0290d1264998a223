"""What is on the machines now, in a table to type in; kept on the desk."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from typing import Any

import pandas as pd
import streamlit as st

from dashboard.desk import Desk
from dashboard.parts.guard import tell
from dashboard.parts.said import label
from dashboard.parts.sent import MOST_MB, read_sent, take_sent
from linesim.errors import LinesimError
from linesim.report.files.standing_file import standing_bytes
from linesim.report.theme.safe import short
from linesim.study.coming.reading import rows_from_cells
from linesim.study.coming.standing import StandingRow, as_table, standing_rows, with_figures
from linesim.words import retell, say

__all__ = ["carry_on", "standing_table"]

_STANDS = "standing"
_TURN = "turn of standing"
_FAULT = "fault of standing"
_READ = "linesim.study.coming.reading:rows_from_content"


def standing_table(desk: Desk) -> tuple[StandingRow, ...]:
    """Show how the line stands, take over what is typed or sent, and return it.

    Parameters
    ----------
    desk : Desk
        Keeps it.
    """
    rows = _rows(desk)
    turn = f"{desk.digest[:12]} {desk.choices.get(_TURN, 0)}"
    with st.expander(label("standing.title"), expanded=_STANDS not in desk.choices, key="standing open"):
        st.caption(label("standing.explained"))
        with st.form(f"standing {turn}", border=False):
            table = _told(rows)
            config: dict[str, Any] = {name: st.column_config.TextColumn(say(f"standing.{name}")) for name in table}
            config["figure"] = st.column_config.NumberColumn(say("standing.figure"), min_value=0, max_value=1_000_000)
            shown = st.data_editor(
                table, key=f"standing rows {turn}", hide_index=True, height=420, column_config=config,
                disabled=[name for name in table.columns if name != "figure"], placeholder="",
            )  # fmt: skip
            if st.form_submit_button(label("standing.foretell"), type="primary", key=f"foretell {turn}"):
                _take_typed(desk, as_table(rows).assign(figure=shown["figure"].to_numpy()))
        _files(desk, rows, turn)
    if desk.choices.get(_FAULT) is not None:
        tell(desk.choices[_FAULT])
    return tuple(rows)


def _told(rows: Sequence[StandingRow]) -> pd.DataFrame:
    """The rows as a table in the words of whoever looks; its figures are taken back by their places."""
    told = [replace(row, what=retell(row.what), remark=retell(row.remark)) for row in rows]
    return as_table(told).astype({"figure": "float64"})


def carry_on(desk: Desk, rows: Sequence[StandingRow]) -> None:
    """Let the desk's line stand as a forecast ends."""
    _put(desk, rows)


def _rows(desk: Desk) -> list[StandingRow]:
    """How the line in hand stands, as far as what was stated is about it."""
    figures: dict[tuple[str, ...], float | None] = desk.choices.get(_STANDS, {})
    return with_figures(standing_rows(desk.works), figures)


def _put(desk: Desk, rows: Sequence[StandingRow]) -> None:
    desk.choices[_STANDS] = {row.key: row.figure for row in rows}
    desk.choices[_FAULT] = None
    desk.choices[_TURN] = int(desk.choices.get(_TURN, 0)) + 1
    st.rerun()


def _take_typed(desk: Desk, shown: pd.DataFrame) -> None:
    cells = [(at, row) for at, row in enumerate(shown.to_dict(orient="records"), start=1)]
    try:
        rows = rows_from_cells(cells, "the table", desk.works)  # type: ignore[arg-type]
    except LinesimError as error:
        desk.choices[_FAULT] = error
        return
    _put(desk, rows)


def _files(desk: Desk, rows: Sequence[StandingRow], turn: str) -> None:
    """The table as a file, there and back."""
    left, right = st.columns([1, 2], vertical_alignment="bottom")
    with left:
        content = standing_bytes(as_table(rows), ".xlsx")
        st.download_button(
            label("standing.table"), content, "how-it-stands.xlsx", key="take standing", on_click="ignore"
        )
    with right:
        sent = st.file_uploader(
            label("standing.filled_in"), ["csv", "xlsx", "json"], max_upload_size=MOST_MB,
            key=f"standing file {turn}",
        )  # fmt: skip
    if sent is not None:
        shown = short(sent.name, 80)
        try:
            taken = read_sent(desk, _READ, shown, content=take_sent(desk, sent), shown=shown, works=desk.works)
        except LinesimError as error:
            desk.choices[_FAULT] = error
            desk.choices[_TURN] = int(desk.choices.get(_TURN, 0)) + 1
            st.rerun()
        _put(desk, taken)
