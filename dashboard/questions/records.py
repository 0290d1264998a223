"""The shop's own records: files sent, their headings confirmed, figures with intervals, put into the scenario."""

from __future__ import annotations

import streamlit as st

from dashboard.desk import Desk
from dashboard.parts.ask import show_answer
from dashboard.parts.records_answer import asked_job, fitted_shown
from dashboard.parts.records_mapping import mappings_shown
from dashboard.parts.records_shelf import Shelf, shelf_of, take_in, templates_offered
from dashboard.parts.records_watching import watching_shown
from dashboard.parts.show import answer, note, rests_on
from linesim.report.views.records import sent_words
from linesim.study.watching.fitting import FittedRecords

__all__ = ["TITLE", "URL", "page"]

TITLE = "Put in your own records"
URL = "records"


def page(desk: Desk) -> None:
    """Draw the page."""
    shelf = shelf_of(desk)
    answer(sent_words(shelf.tables) if shelf.tables else "No records are at this desk yet.", is_open=not shelf.tables)
    note(
        "A tool-change book, gauge readings, a gauge study, stoppages, change times, counts: whatever the shop keeps, "
        "in its own words and units. Nothing is used before you have confirmed it, and no row is dropped in silence."
    )
    take_in(desk, shelf)
    templates_offered()
    if shelf.tables:
        _confirm(desk, shelf)
    if shelf.asked is not None:
        _answer(desk, shelf)
    rests_on(desk, "records")


def _confirm(desk: Desk, shelf: Shelf) -> None:
    """What each heading is taken for, and the button that confirms it."""
    st.subheader("What the headings are taken for", anchor=False)
    is_good = mappings_shown(shelf)
    if st.button("Read them so, and fit", key="records read", type="primary", disabled=not is_good):
        shelf.ask(desk.works)
        st.rerun()


def _answer(desk: Desk, shelf: Shelf) -> None:
    """What they say."""
    asked = shelf.asked
    assert asked is not None
    st.subheader("What they say", anchor=False)

    def draw(result: FittedRecords) -> None:
        fitted_shown(desk, result)

    show_answer(asked_job(desk, shelf, asked), draw, "records")
    watching_shown(desk, shelf, asked)
