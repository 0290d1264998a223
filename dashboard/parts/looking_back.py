"""The debrief of a shift that is over."""

from __future__ import annotations

import streamlit as st

from dashboard.desk import Desk
from dashboard.parts.in_hand import InHand, debrief_of
from dashboard.parts.room import light
from dashboard.parts.show import answer, note, picture, table
from linesim.report.theme.markup import element
from linesim.report.theme.safe import in_markdown
from linesim.report.views import debrief as debrief_view

__all__ = ["look_back_on"]


def look_back_on(desk: Desk, held: InHand) -> None:
    """Draw the debrief."""
    found = debrief_of(held)
    answer(debrief_view.verdict_words(found), is_open=not found.is_passed)
    table(debrief_view.mark_sheet(found), "pass mark")
    st.subheader("Try next", anchor=False)
    answer(found.try_next[:1].upper() + found.try_next[1:])
    st.subheader("The same shift under other policies", anchor=False)
    picture(debrief_view.compared_picture(found, light()), "compared shifts")
    with st.expander("What it cost, item by item"):
        table(debrief_view.item_sheet(found), "shift ledger")
    st.subheader("What your decisions were worth", anchor=False)
    if found.weighed:
        table(debrief_view.weighed_sheet(found), "weighed")
        note(debrief_view.weighed_words(found))
    else:
        note("You decided nothing that the plan does not do by itself.")
    if found.undone:
        table(debrief_view.undone_sheet(found), "undone")
    st.subheader("The true wear behind what you saw", anchor=False)
    note(debrief_view.wear_words(found))
    picture(debrief_view.wear_picture(found, desk.system, light()), "true wear")
    st.subheader("What to take from it", anchor=False)
    st.html(element("p", found.text))
    note(f"Best found policy: {found.best_words}")
    st.subheader("Questions", anchor=False)
    for ask, worked in found.answers:
        st.html(element("p", ask))
        with st.expander(in_markdown(f"The answer, worked out: {ask}", 90)):
            st.html(element("p", worked))
