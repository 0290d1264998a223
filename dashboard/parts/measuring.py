"""What is assumed of the line in hand, and which five figures are most worth measuring."""

from __future__ import annotations

import streamlit as st

from dashboard.desk import Desk
from dashboard.parts.ask import ask, show_answer
from dashboard.parts.once import once
from dashboard.parts.show import listed, note, rests_on
from linesim.report.views.begun import assumed_words
from linesim.study.search import Drivers
from linesim.study.search.sensitivity.first import worth_measuring
from linesim.study.search.sensitivity.inputs import inputs_of

__all__ = ["what_to_measure"]

_REPLICATIONS = 5
_ASKED = "worth measuring asked"


def what_to_measure(desk: Desk) -> None:
    """Say how many figures are assumed, and ask which are most worth measuring; nothing if none is assumed."""
    words = once(assumed_words, desk.works)
    if not words:
        return
    note(words)
    with st.container(horizontal=True):
        if st.button("Run it, and say which five figures are most worth measuring", key="worth measuring"):
            desk.choices[_ASKED] = desk.digest
        rests_on(desk, "own")
    if desk.choices.get(_ASKED) != desk.digest:
        return
    runs = _REPLICATIONS * (2 * len(inputs_of(desk.works)) + 1)
    job = ask(desk, "worth measuring", "linesim.study.search.sensitivity.drivers:DriverStudy", runs,
              replications=_REPLICATIONS)  # fmt: skip

    def draw(result: Drivers) -> None:
        sentences = worth_measuring(result)
        listed(sentences)
        if not sentences:
            note("Nothing is significant yet.")

    show_answer(job, draw, "worth measuring")
