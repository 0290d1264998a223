"""A desk's records held against the figures that stand in its scenario, week by week."""

from __future__ import annotations

import streamlit as st

from dashboard.desk import Desk
from dashboard.jobs import Job
from dashboard.parts.ask import show_answer
from dashboard.parts.once import once
from dashboard.parts.records_shelf import Asked, Shelf
from dashboard.parts.room import board, light
from dashboard.parts.show import answer, listed, note, picture
from dashboard.parts.who import owner_of
from dashboard.words import Order
from linesim.report.theme.safe import in_markdown
from linesim.report.views import watching as view
from linesim.study.questions.effort import check_effort
from linesim.study.watching.watch import Watching
from linesim.works import digest

__all__ = ["watching_shown"]

_WATCH = "linesim.study.watching.steps:watching_steps"
_REPLICATIONS = 4
_RUNS = 200
"""About so many runs judge the intervals of the sets whose lives have moved."""
_SWITCH = "watching runs"


def watching_shown(desk: Desk, shelf: Shelf, asked: Asked) -> None:
    """Whether the figures on the desk still hold, on control charts; and on demand whether the advice does.

    Parameters
    ----------
    desk : Desk
        Whose figures stand.
    shelf, asked : Shelf and Asked
        The records as they were confirmed.
    """
    st.subheader("Do the figures on the desk still hold?", anchor=False)
    note(
        "Records with dates, week by week, against what the scenario on the desk foretells of them. Send each new "
        "week's book beside the older ones, and read them again."
    )
    if not st.toggle("Watch them", key="watching"):
        return
    replications = _REPLICATIONS if st.session_state.get(_SWITCH) == digest(desk.works) else 0

    def draw(result: Watching) -> None:
        answer(once(view.first_words, result), is_open=any(each.chart.since is not None for each in result.watched))
        listed(once(view.rest_words, result))
        if view.has_moved_lives(result) and st.button("Does the advice change? (runs the line)", key="watching advice"):
            check_effort(desk.works, _RUNS)
            st.session_state[_SWITCH] = digest(desk.works)
            st.rerun()
        for number, (title, shown) in enumerate(once(view.charts, result, light())):
            st.subheader(in_markdown(title, 120), anchor=False)
            picture(shown, f"watching picture {number}")

    show_answer(_job(desk, shelf, asked, replications), draw, "watching")


def _job(desk: Desk, shelf: Shelf, asked: Asked, replications: int) -> Job:
    """The job that watches what was confirmed against the scenario as it stands."""
    files = {each.file: shelf.files[each.file] for each in asked.mappings if each.file in shelf.files}
    given = {"works": desk.works, "files": files, "mappings": asked.mappings, "replications": replications}
    order = Order(_WATCH, given, owner_of(desk), runs=_RUNS if replications else 0)
    return board().ask(desk.id, "watching", (_WATCH, desk.digest, asked.key, replications), order)
