"""Putting a question to the board, and showing its answer as it grows."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import Any

import streamlit as st

from dashboard.desk import Desk
from dashboard.jobs import Job
from dashboard.parts.guard import guarded
from dashboard.parts.room import board
from dashboard.parts.said import label
from dashboard.parts.who import owner_of
from dashboard.words import Order
from linesim.report.theme.progress import progress_words
from linesim.report.theme.safe import in_markdown
from linesim.study.questions.effort import check_effort
from linesim.words import spoken
from linesim.works import Works, digest

__all__ = ["ask", "show_answer"]

_FIRST_LOOK_S = 0.8
_LOOK_EVERY_S = 0.4


def ask(desk: Desk, slot: str, study: str, runs: int, **given: Any) -> Job:
    """Put a question about the scenario in hand to the board.

    Parameters
    ----------
    desk : Desk
        Whose question it is.
    slot : str
        What it is for; a new question in the same slot stops the older one.
    study : str
        The generator that answers it, as ``linesim.study.comparing.closely:look_steps``; it is given ``works``.
    runs : int
        How many runs it makes at the most, for the bound on what a page takes on.
    **given
        Plain values, or another works.

    Returns
    -------
    Job

    Raises
    ------
    StudyError
        It asks for more than a page takes on.
    """
    _see_to_it(desk.digest, runs, desk.works)
    key = (study, desk.digest, tuple(sorted((name, _hashable(value)) for name, value in given.items())))
    return board().ask(desk.id, slot, key, Order(study, {"works": desk.works, **given}, owner_of(desk), runs=runs))


@st.cache_resource(show_spinner=False, max_entries=256)
def _see_to_it(digest: str, runs: int, _works: Works) -> None:
    """That a page can take the study on; asked once for each scenario."""
    del digest
    check_effort(_works, runs)


def _hashable(value: Any) -> Any:
    if isinstance(value, Works):
        return digest(value)
    return tuple(value) if isinstance(value, Sequence) and not isinstance(value, str) else value


def show_answer(job: Job, draw: Callable[[Any], None], name: str) -> None:
    """Show how far a study is and what it says so far, anew whenever it says something else.

    The way it has come is looked at again and again by itself; the page is drawn again only for another answer.

    Parameters
    ----------
    job : Job
        The question.
    draw : callable
        Shows an answer, an interim one or the last.
    name : str
        For the keys of what is shown here; one for each place on the page.
    """
    job.wait(_FIRST_LOOK_S)
    shown = (job.n_answers, job.is_over)
    result = job.answer

    def look() -> None:
        _head(job, name)
        if (job.n_answers, job.is_over) != shown:
            st.rerun()

    st.fragment(spoken(guarded(look)), run_every=None if job.is_over else _LOOK_EVERY_S)()
    if result is not None:
        st.fragment(spoken(guarded(draw)))(result)


def _head(job: Job, name: str) -> None:
    """Progress and the way to stop; or how it ended, if it did not end well."""
    if job.state == "done":
        return
    if job.state in ("stopped", "failed"):
        words, button = st.columns([5, 1], vertical_alignment="center")
        if job.state == "failed":
            words.error(in_markdown(job.error, 900))
        else:
            words.info(job.error or in_markdown(progress_words(job.step, "stopped"), 300))
        again = label("frame.ask_again")
        if button.button(again, key=f"{name} again {job.id}", width="stretch", on_click=board().again, args=(job,)):
            st.rerun()
        return
    words, button = st.columns([5, 1], vertical_alignment="center")
    if job.state == "waiting":
        ahead = board().ahead_of(job)
        words.progress(0.0, text=in_markdown(progress_words(None, "waiting", ahead, board().warming_s()), 300))
    else:
        step = job.step
        share = min(1.0, step.done / step.total) if step is not None and step.total else 0.0
        words.progress(share, text=in_markdown(progress_words(step, job.state), 300))
    button.button(label("frame.stop"), key=f"{name} stop {job.id}", width="stretch", on_click=board().stop, args=(job,))
