"""The store as the pages see it: opened once for the server, tables of runs read once for each state of a study."""

from __future__ import annotations

import os
from collections.abc import Sequence

import pandas as pd
import streamlit as st

from dashboard.desk import Desk
from dashboard.parts.guard import tell
from dashboard.parts.said import label
from dashboard.parts.show import note
from dashboard.parts.who import may_change
from linesim.errors import LinesimError
from linesim.report.theme.csv_text import as_csv
from linesim.report.theme.safe import in_markdown
from linesim.report.views.past import called, excel_of, gone_words
from linesim.store import Store, StoredStudy, open_store
from linesim.study.comparing.past import run_table, scenario_text
from linesim.words import say

__all__ = ["files_of", "names_of", "naming", "page_of", "runs_of", "store", "take_away"]


_CUTTERS, _CUTS, _FIRST = "cutters", "cuts", "advice"
_PAGES: dict[str, tuple[str, dict[str, str]]] = {
    "policies": (_CUTTERS, {}), "compare": (_CUTTERS, {}), "frontier": (_CUTTERS, {}),
    "worth": (_CUTTERS, {"further": "Value of a bottleneck minute"}),
    "best_intervals": (_CUTTERS, {"further": "The best intervals of all"}),
    "intervals": (_CUTTERS, {"further": "The best intervals of all"}),
    "interval": (_CUTTERS, {"further": "The interval of one set"}),
    "circulation": (_CUTTERS, {"further": "How many sets"}), "sets": (_CUTTERS, {"further": "How many sets"}),
    "drivers": (_CUTTERS, {"further": "Sensitivity"}),
    "advise": (_FIRST, {}), "change": (_FIRST, {}),
    "variants": (_CUTS, {}), "routing": (_CUTS, {}),
    "cut_speed": (_CUTS, {"further of cuts": "Speed and feed of a cut"}),
    "speed": (_CUTS, {"further of cuts": "Speed and feed of a cut"}),
}  # fmt: skip
"""On which page each kind of study is asked, and what is chosen there."""


@st.cache_resource(show_spinner=False, max_entries=4)
def _opened(place: str) -> Store:
    del place  # part of the key: another place is another store
    return open_store()


def store() -> Store:
    """The user's own store, or the one that ``LINESIM_STORE`` names.

    Raises
    ------
    StoreError
        It cannot be opened; says why.
    """
    return _opened(os.environ.get("LINESIM_STORE", ""))


@st.cache_data(show_spinner="Reading its runs ...", max_entries=16)
def _runs(place: str, number: int, changed_at: str, runs: int, _study: StoredStudy) -> pd.DataFrame:
    del place, number, changed_at, runs
    return run_table(store(), _study)


def runs_of(study: StoredStudy) -> pd.DataFrame:
    """The runs of a study as a table."""
    return _runs(store().location, study.number, study.changed_at, study.runs, study)


@st.cache_data(show_spinner="Writing its runs ...", max_entries=8)
def _files(place: str, number: int, changed_at: str, runs: int, _study: StoredStudy) -> dict[str, bytes]:
    del place, number, changed_at, runs
    table = runs_of(_study)
    scenario = scenario_text(store(), _study)
    return {"csv": as_csv(table).encode(), "xlsx": excel_of(table, _study), "yaml": scenario.encode()}


def files_of(study: StoredStudy) -> dict[str, bytes]:
    """The runs of a study as CSV and as a workbook, and its scenario, by the ending of the file."""
    return _files(store().location, study.number, study.changed_at, study.runs, study)


def names_of(studies: Sequence[StoredStudy]) -> dict[str, StoredStudy]:
    """Studies by the words under which they are chosen."""
    return {called(study): study for study in studies}


def page_of(study: StoredStudy) -> tuple[str, dict[str, str]]:
    """The page on which such a study is asked, by its address, and what is to be chosen there; empty if on none."""
    page, choices = _PAGES.get(study.kind, ("", {}))
    policy = study.settings.get("policy")
    return page, choices | ({"policy": policy} if isinstance(policy, str) else {})


def naming(study: StoredStudy) -> None:
    """The form that gives it a name."""
    with st.form(f"name {study.number}", border=True):
        name = st.text_input(label("past.name"), study.name, max_chars=100, key=f"name of {study.number} {study.name}")
        if st.form_submit_button(label("past.give_name"), key=f"give name {study.number}"):
            try:
                store().rename(study.number, name)
                st.rerun()
            except LinesimError as error:
                tell(error)


def take_away(desk: Desk, study: StoredStudy) -> None:
    """Take it away, after a word that names what goes; nobody takes away another's."""
    st.subheader(label("past.away"), anchor=False)
    if not may_change(desk, study):
        note(say("past.not_yours"))
        return
    asked = f"away {study.number}"
    if not st.session_state.get(asked):
        if st.button(label("past.take_away"), key=f"ask {asked}"):
            st.session_state[asked] = True
            st.rerun()
        return
    st.warning(in_markdown(gone_words(store(), study), 600))
    with st.container(horizontal=True):
        if st.button(label("past.yes"), key=f"yes {asked}", type="primary"):
            store().prune(chosen=[study.number], is_tried=False)
            st.session_state.pop(asked)
            st.rerun()
        if st.button(label("past.keep"), key=f"no {asked}"):
            st.session_state.pop(asked)
            st.rerun()
