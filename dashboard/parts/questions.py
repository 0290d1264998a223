"""Further questions on a page: one at a time, and none before one is asked."""

from __future__ import annotations

from collections.abc import Callable, Mapping

import streamlit as st

from dashboard.desk import Desk
from dashboard.parts.show import note

__all__ = ["ask_further"]


def ask_further(desk: Desk, name: str, questions: Mapping[str, Callable[[Desk, int], None]], most: int) -> None:
    """Offer further questions side by side, and draw the one that is asked.

    Parameters
    ----------
    desk : Desk
        Whose line it is; it remembers the question.
    name : str
        Of the choice.
    questions : mapping of str to callable
        What draws each, given the desk and the replications that it may take.
    most : int
        So many replications at the most.
    """
    st.header("Ask further", anchor=False)
    before = desk.choices.get(name)
    asked = st.segmented_control(
        "Ask further", list(questions), default=before if before in questions else None, key=name,
        label_visibility="collapsed",
    )  # fmt: skip
    desk.choices[name] = asked
    if asked is None:
        note("Each is a question of its own; its runs begin when it is asked.")
        return
    questions[asked](desk, most)
