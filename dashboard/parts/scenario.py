"""Opening another scenario, and downloading the one in hand."""

from __future__ import annotations

from functools import partial

import streamlit as st
from streamlit.runtime.uploaded_file_manager import UploadedFile

from dashboard.desk import Desk
from dashboard.parts.guard import tell
from dashboard.parts.room import SCENARIOS, from_file
from dashboard.parts.sent import MOST_MB, read_sent, take_sent, whole_of
from linesim.errors import LinesimError, ScenarioError
from linesim.report.theme.safe import in_markdown, short
from linesim.works import Works, to_yaml
from linesim.works.book.writing import check_texts, to_workbook

__all__ = ["choose_scenario"]

_READ = "linesim.works.load:works_from_bytes"
_WORKBOOK = "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet"
_UPLOADED = "uploaded"
_FAULT = "fault of an upload"
"""Told as long as the file is there: a page that is drawn again must not take the reason away."""


def choose_scenario(desk: Desk) -> None:
    """Open one of the scenarios of the program, upload one, or download the one in hand."""
    with st.popover("Open or download", key="scenario"):
        files = sorted(SCENARIOS.glob("*.yaml"))
        names = [file.name for file in files]
        chosen = st.selectbox("A scenario of the program", names, index=None, placeholder="choose one", key="came")
        if st.button("Open it", disabled=chosen is None, key="open") and chosen in names:
            _open(desk, chosen)
        sent = st.file_uploader(
            "Your own scenario: a file, a workbook or a routing sheet",
            type=["yaml", "yml", "xlsx", "csv"],
            max_upload_size=MOST_MB,
            key="upload",
        )
        if sent is not None and st.session_state.get(_UPLOADED) != sent.file_id:
            st.session_state[_UPLOADED] = sent.file_id
            _take(desk, sent)
        if sent is not None and (fault := st.session_state.get(_FAULT)) is not None:
            tell(fault)
        st.download_button(
            "Download the scenario in hand", partial(to_yaml, desk.works), "scenario.yaml", "application/yaml",
            key="download", on_click="ignore",
        )  # fmt: skip
        reason = _why_no_workbook(desk.digest, desk.works)
        if reason:
            st.warning(in_markdown(f"It cannot be downloaded as a workbook: {reason}", 600))
            return
        st.download_button(
            "Download it as a workbook", partial(to_workbook, desk.works), "scenario.xlsx", _WORKBOOK,
            key="download workbook", on_click="ignore",
        )  # fmt: skip


@st.cache_resource(show_spinner=False, max_entries=64)
def _why_no_workbook(digest: str, _works: Works) -> str:
    """Why a scenario cannot be written as a workbook; empty if it can."""
    del digest
    try:
        check_texts(_works)
    except ScenarioError as error:
        return str(error)
    return ""


def _open(desk: Desk, name: str) -> None:
    file = SCENARIOS / name
    desk.put(from_file(str(file), file.stat().st_mtime_ns), f"opening {name}", name)
    st.rerun()


def _take(desk: Desk, sent: UploadedFile) -> None:
    """Read an uploaded file, a text or a workbook, by itself; it reaches no other file."""
    shown = short(sent.name, 80)
    st.session_state.pop(_FAULT, None)
    try:
        content = whole_of(shown, take_sent(desk, sent))
        desk.put(read_sent(desk, _READ, shown, content=content, name=shown), f"opening {shown}", shown)
    except LinesimError as error:
        st.session_state[_FAULT] = error
        return
    st.toast(f"{in_markdown(shown)} is on the desk.")
    st.rerun()
