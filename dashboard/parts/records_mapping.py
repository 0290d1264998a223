"""Which heading of a file means what: a guess, shown as tables to mend; whatever is changed stays at the desk."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Any

import pandas as pd
import streamlit as st

from dashboard.parts.records_shelf import Shelf
from dashboard.parts.show import listed, note
from linesim.errors import ScenarioError
from linesim.records.cells import Writing
from linesim.records.kinds import KINDS
from linesim.records.mapping import FileMapping, Heading, mapping_text, read_mapping
from linesim.records.sent import SentTable
from linesim.report.theme.safe import in_markdown, short

__all__ = ["mappings_shown"]

_LAID = "records laid"
_DECIMALS = {"point": ".", "comma": ","}
_DATES = ("day first", "month first", "year first")
_LEAVE_OUT = "leave it out"
_MOST_PROBLEMS = 6
_WHAT, _HEADING, _UNIT, _ALL, _FIRST, _ABOUT = (
    "what it is", "heading in the file", "unit, if not in its heading", "the same in every row", "first row", "meaning",
)  # fmt: skip
_WORD, _MEANS = "in the file", "means"


@dataclass(frozen=True)
class _Laid:
    """A table as it was laid out; what is typed since stands in the browser's own state."""

    key: str
    rows: pd.DataFrame


def mappings_shown(shelf: Shelf) -> bool:
    """Show every table that was sent, with what its headings are taken for; whether all of it can be read.

    Parameters
    ----------
    shelf : Shelf
        Takes over what is changed.
    """
    is_good = True
    for at, table in enumerate(shelf.tables):
        if table.mapping is None:
            st.warning(in_markdown(f"{table.shown}: {table.reason}", 600))
            continue
        with st.expander(in_markdown(f"{short(table.shown, 60)}: {_taken_for(shelf, table)}", 200), expanded=at == 0):
            is_good = _table(shelf, table, f"records {at}") and is_good
    return is_good and any(shown not in shelf.left_out for shown in shelf.mappings)


def _taken_for(shelf: Shelf, table: SentTable) -> str:
    """What a table is taken for, in short."""
    if table.shown in shelf.left_out:
        return "left out"
    return f"{table.rows} rows of {shelf.mappings[table.shown].kind.name}"


def _table(shelf: Shelf, table: SentTable, key: str) -> bool:
    """One table; whether it can be read."""
    now = _kind_and_writing(shelf, table, key)
    if now is None:
        return True
    note(f"{now.kind.about[0].upper()}{now.kind.about[1:]}. Needed: {_needed(now)}.")
    listed(table.remarks)
    now = replace(now, **_columns(table, now, key))
    now = replace(now, words=_words(table, now, key))
    shelf.mappings[table.shown] = now
    problems = _problems(now)
    if now.kind.name == (table.mapping.kind.name if table.mapping else "") and not problems:
        listed([f"Not sure: {remark}" for remark in now.remarks])
    if problems:
        st.warning("This cannot be read yet. What you chose stays.")
        listed(problems[:_MOST_PROBLEMS])
    return not problems


def _kind_and_writing(shelf: Shelf, table: SentTable, key: str) -> FileMapping | None:
    """What is recorded, and how figures and dates are written; None if the table is left out."""
    now = shelf.mappings[table.shown]
    kinds, what, decimals, dates = [*KINDS, _LEAVE_OUT], *st.columns(3)
    left = _LEAVE_OUT if table.shown in shelf.left_out else now.kind.name
    kind = what.selectbox("Record of", kinds, index=kinds.index(left), key=f"{key} kind")
    if kind == _LEAVE_OUT:
        shelf.left_out.add(table.shown)
        return None
    shelf.left_out.discard(table.shown)
    if kind != now.kind.name:
        now = table.as_kind(kind)
    sign = {sign: name for name, sign in _DECIMALS.items()}[now.writing.decimal]
    decimal = decimals.selectbox("Decimals", list(_DECIMALS), index=list(_DECIMALS).index(sign), key=f"{key} decimal")
    order = dates.selectbox("Dates", _DATES, index=_DATES.index(now.writing.dates), key=f"{key} dates")
    return replace(now, writing=Writing(_DECIMALS[decimal], order))


def _needed(now: FileMapping) -> str:
    return "; ".join(" or ".join(group) for group in now.kind.needed)


def _columns(table: SentTable, now: FileMapping, key: str) -> dict[str, Any]:
    """The table of columns: where each is read from, its unit, and what holds for every row."""
    laid = _laid(f"{key} {now.kind.name}", lambda: _columns_frame(table, now))
    config = {
        _WHAT: st.column_config.TextColumn(disabled=True, pinned=True),
        _HEADING: st.column_config.SelectboxColumn(options=list(table.headings), width="medium"),
        _UNIT: st.column_config.TextColumn(max_chars=40),
        _ALL: st.column_config.TextColumn(max_chars=100),
        _FIRST: st.column_config.TextColumn(disabled=True),
        _ABOUT: st.column_config.TextColumn(disabled=True, width="large"),
    }
    shown = st.data_editor(
        laid.rows, key=laid.key, hide_index=True, width="stretch", column_config=config, placeholder=""
    )
    columns: dict[str, Heading] = {}
    for_all: dict[str, str] = {}
    for name, heading, unit, every, *_ in shown.itertuples(index=False):
        if _text(heading):
            columns[name] = Heading(_text(heading), _text(unit))
        elif _text(every):
            for_all[name] = _text(every)
    return {"columns": columns, "for_all": for_all}


def _columns_frame(table: SentTable, now: FileMapping) -> pd.DataFrame:
    rows = []
    for column in now.kind.columns:
        at = now.columns.get(column.name)
        first = (table.first or {}).get(at.heading, "") if at else ""
        unit = f" ({column.unit})" if column.unit else ""
        every = now.for_all.get(column.name)
        rows.append(
            (column.name, at.heading if at else None, at.unit if at else None, every, first, f"{column.about}{unit}")
        )
    return pd.DataFrame(rows, columns=[_WHAT, _HEADING, _UNIT, _ALL, _FIRST, _ABOUT], dtype=object)


def _words(table: SentTable, now: FileMapping, key: str) -> dict[str, str]:
    """The table of the shop's own words, where a column takes one of a few."""
    words: dict[str, str] = {}
    for column in now.kind.columns:
        cells = (table.words or {}).get(now.columns[column.name].heading, ()) if column.name in now.columns else ()
        if not column.words or not cells:
            continue
        rows = [(cell, now.words.get(cell, cell if cell in column.words else None)) for cell in cells]
        frame = pd.DataFrame(rows, columns=[_WORD, _MEANS], dtype=object)
        laid = _laid(f"{key} {now.kind.name} words {now.columns[column.name].heading}", lambda frame=frame: frame)
        config = {
            _WORD: st.column_config.TextColumn(disabled=True),
            _MEANS: st.column_config.SelectboxColumn(options=list(column.words)),
        }
        note(f"Your words for {column.name}; rows with a word that means nothing are set aside.")
        shown = st.data_editor(laid.rows, key=laid.key, hide_index=True, column_config=config, placeholder="")
        words |= {cell: means for cell, means in shown.itertuples(index=False) if _text(means) and means != cell}
    return words


def _laid(name: str, frame: Any) -> _Laid:
    """A table laid out once, and anew where the browser has forgotten it."""
    laid: dict[str, _Laid] = st.session_state.setdefault(_LAID, {})
    if name not in laid or laid[name].key not in st.session_state:
        turn = st.session_state.get(f"{_LAID} turn", 0) + 1
        st.session_state[f"{_LAID} turn"] = turn
        laid[name] = _Laid(f"{name} laid {turn}", frame())
    return laid[name]


def _text(cell: Any) -> str:
    return "" if cell is None or (not isinstance(cell, str) and pd.isna(cell)) else str(cell).strip()


def _problems(now: FileMapping) -> list[str]:
    """What stands in the way of reading a table so."""
    try:
        read_mapping(mapping_text([now]), now.shown)
    except ScenarioError as error:
        return [f"{each.text} {each.hint}".strip() for each in error.problems]
    return []
