"""Showing answers: a sentence, figures in a row, a picture with the table behind it, and what they rest on."""

from __future__ import annotations

from collections.abc import Sequence
from functools import partial

import streamlit as st

from dashboard.desk import Desk
from dashboard.parts.folded import folded
from dashboard.parts.room import figures_on_paper
from dashboard.parts.said import label
from linesim.desk import Desk as DeskFigures
from linesim.report.page.notes import assumptions_of, method_texts, source_sheet
from linesim.report.theme.cautions import CAUTIONS
from linesim.report.theme.markup import bullets, element
from linesim.report.theme.picture import Picture, Sheet
from linesim.report.theme.row import figure_row
from linesim.words import Words, reader, retell, say
from linesim.works import Works

__all__ = ["answer", "beside", "figure_strip", "listed", "note", "picture", "rests_on", "table"]

_CONFIG = {"displaylogo": False, "modeBarButtonsToRemove": ["select2d", "lasso2d", "toImage"], "responsive": True}


def answer(text: str, is_open: bool = False) -> None:
    """The answer of the page, in a sentence; open if the data do not settle it."""
    st.html(element("p", text, "answer open" if is_open else "answer"))


def note(text: str) -> None:
    """A word beneath."""
    st.html(element("p", text, "note"))


def listed(texts: Sequence[str]) -> None:
    """Words beneath, one under the other; nothing if there are none."""
    if texts:
        st.html(bullets(map(retell, texts)))


def beside(texts: Sequence[str]) -> None:
    """What is wrong with a field, right beneath it; nothing where nothing is."""
    for text in texts:
        st.html(element("p", text, "beside"))


def figure_strip(figures: Sequence[tuple[str, str, str]]) -> None:
    """Figures in a row: what, value, unit or more."""
    st.html(figure_row(figures))


def picture(shown: Picture, key: str, on_select: bool = False, is_open: bool = False) -> object:
    """A picture, its words for those who do not see it, and the table behind it, which can be downloaded.

    Where the table itself is what was asked for, it stands open from the beginning.
    """
    event = st.plotly_chart(
        shown.figure,
        width="stretch",
        theme=None,
        key=key,
        config=_CONFIG,
        alt=shown.words,
        on_select="rerun" if on_select else "ignore",
        selection_mode="points",
    )
    folded(say("frame.figures_behind"), f"figures of {key}", partial(table, shown.sheet, key), is_open)
    return event


def table(sheet: Sheet, key: str) -> None:
    """A table, and its download as a file."""
    st.html(sheet.html)
    with st.container(horizontal=True, horizontal_alignment="distribute"):
        if sheet.words:
            st.html(sheet.words)
        st.download_button(
            label("frame.download_table"), lambda: sheet.csv, f"{key}.csv", "text/csv", key=f"{key} csv",
            on_click="ignore", type="tertiary", icon=":material/download:",
        )  # fmt: skip


def rests_on(desk: Desk, key: str, extra: Sequence[str] = ()) -> None:
    """One click to what the figures here rest on: assumptions, cautions and sources."""
    with st.popover(label("sheet.rests_on"), key=f"{key} rests"):
        st.subheader(label("justify.assumptions"), anchor=False)
        assumptions, sources = _rests(desk.digest, id(reader()), desk.works, figures_on_paper(desk))[1:]
        st.html(bullets([*extra, *assumptions]))
        st.subheader(label("sheet.cautions"), anchor=False)
        st.html(bullets(map(retell, CAUTIONS), "cautions"))
        st.subheader(label("justify.sources"), anchor=False)
        st.html(bullets(map(retell, method_texts())))
        st.html(sources)


@st.cache_resource(show_spinner=False, max_entries=64)
def _rests(digest: str, words: int, _works: Works, _figures: DeskFigures) -> tuple[Words, list[str], str]:
    """In whose words it is, so that they are held; assumptions in sentences, and the table of sources."""
    del digest, words
    return reader(), assumptions_of(_works, _figures), source_sheet(_figures).html
