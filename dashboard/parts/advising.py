"""The one question what to change first, put by the page that shows it and by the brief that is carried away."""

from __future__ import annotations

import streamlit as st

from dashboard.desk import Desk
from dashboard.jobs import Job
from dashboard.parts.ask import ask
from linesim.study.advice.study import affordable, runs_of
from linesim.study.doubt.advised import BESIDE
from linesim.works import Works

__all__ = ["ask_advice"]

_STUDY = "linesim.study.doubt.advised:AdvisedStudy"


def ask_advice(desk: Desk, most: int, replications: int) -> Job:
    """Ask what to change first; asked twice, it is worked out once.

    Parameters
    ----------
    desk : Desk
        Whose line it is.
    most : int
        Changes that are looked at, at the most; fewer where a page cannot take so many on.
    replications : int
        Fresh runs of each change that is judged.

    Returns
    -------
    Job
    """
    most = min(most, _affordable(desk.digest, desk.works, replications))
    runs = runs_of(most, replications) + BESIDE
    return ask(desk, "advice", _STUDY, runs, most=most, replications=replications)


@st.cache_resource(show_spinner=False, max_entries=256)
def _affordable(digest: str, _works: Works, replications: int) -> int:
    """How many changes can be looked at."""
    del digest
    return affordable(_works, replications, BESIDE)
