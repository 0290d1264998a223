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
    result = debrief_of(held)
    answer(debrief_view.verdict_words(result), is_open=not result.is_passed)
    table(debrief_view.mark_sheet(result), "pass mark")
    st.subheader("Try next", anchor=False)
    answer(result.try_next[:1].upper() + result.try_next[1:])
    st.subheader("The same shift under other policies", anchor=False)
    picture(debrief_view.compared_picture(result, light()), "compared shifts")
    with st.expander("What it cost, item by item"):
        table(debrief_view.item_sheet(result), "shift ledger")
    st.subheader("What your decisions were worth", anchor=False)
    if result.weighed:
        table(debrief_view.weighed_sheet(result), "weighed")
        note(debrief_view.weighed_words(result))
    else:
        note("You decided nothing that the plan does not do by itself.")
    if result.undone:
        table(debrief_view.undone_sheet(result), "undone")
    st.subheader("The true wear behind what you saw", anchor=False)
    note(debrief_view.wear_words(result))
    picture(debrief_view.wear_picture(result, desk.system, light()), "true wear")
    st.subheader("What to take from it", anchor=False)
    st.html(element("p", result.text))
    note(f"Best found policy: {result.best_words}")
    st.subheader("Questions", anchor=False)
    for ask, worked in result.answers:
        st.html(element("p", ask))
        with st.expander(in_markdown(f"The answer, worked out: {ask}", 90)):
            st.html(element("p", worked))
