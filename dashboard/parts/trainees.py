"""The instructor's table: how trainees get on, downloaded as a file, and deleted on request."""

from __future__ import annotations

from functools import partial

import streamlit as st

from dashboard.desk import Desk
from dashboard.parts.class_view import class_at_a_glance, set_for_class
from dashboard.parts.guard import tell
from dashboard.parts.in_hand import is_in_use, titles
from dashboard.parts.past import store
from dashboard.parts.show import answer, note, table
from dashboard.parts.who import may_teach
from linesim.errors import LinesimError
from linesim.report.theme.safe import in_markdown
from linesim.report.views import debrief as debrief_view
from linesim.store.progress import attempts, delete_trainee, trainees

__all__ = ["instructors_table", "is_own"]

_ASKED = "deleting a trainee"


def instructors_table() -> None:
    """Draw the table, the exports and the way to delete."""
    names, result = trainees(store()), attempts(store())
    answer(debrief_view.progress_words(result))
    note("Of a trainee only the nickname, the lessons played, their outcome and the day are kept.")
    if result:
        class_at_a_glance(result)
        with st.expander("How each trainee gets on with each lesson"):
            table(debrief_view.progress_sheet(result), "progress")
        with st.expander("Every shift played"):
            table(debrief_view.attempt_sheet(result), "attempts")
        st.download_button("Every shift played (Excel)", partial(debrief_view.attempt_excel, result), "progress.xlsx",
                           key="attempts xlsx", on_click="ignore")  # fmt: skip
    set_for_class(titles())
    if names and may_teach():
        _delete(names)


def _delete(names: list[str]) -> None:
    """Delete all that is kept of a nickname, after a word that names it."""
    st.subheader("Delete a trainee on request", anchor=False)
    name = st.selectbox("Nickname", names, key="nickname to delete")
    if st.session_state.get(_ASKED) != name:
        if st.button("Delete everything kept of this nickname", key="ask deleting"):
            st.session_state[_ASKED] = name
            st.rerun()
        return
    st.warning(in_markdown(f"Everything kept of {name} goes, shifts not over as well; it cannot be had back.", 300))
    with st.container(horizontal=True):
        if st.button("Yes, delete it", key="yes deleting", type="primary"):
            try:
                delete_trainee(store(), name)
            except LinesimError as error:
                tell(error)
                return
            st.session_state.pop(_ASKED)
            st.rerun()
        if st.button("Keep it", key="no deleting"):
            st.session_state.pop(_ASKED)
            st.rerun()


def is_own(desk: Desk, nickname: str) -> bool:
    """Whether a nickname is whoever sits here; one that somebody else has played under is asked about first."""
    name = nickname.strip()
    if not name or name == desk.choices.get("nickname") or not is_in_use(name):
        return True
    st.warning(in_markdown(
        f"Somebody has played here as {name} already. Take another nickname, unless that was you: "
        "what you play would be written down beside it.", 300,
    ))  # fmt: skip
    return st.checkbox("That was me", key=f"own nickname {name}")
