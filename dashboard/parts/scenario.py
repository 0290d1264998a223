"""Taking another scenario in hand, and taking the one in hand along."""

from __future__ import annotations

import streamlit as st

from dashboard.desk import Desk
from dashboard.parts.guard import tell
from dashboard.parts.room import SCENARIOS, from_file
from linesim.errors import LinesimError, ScenarioError
from linesim.report.theme.safe import in_markdown, short
from linesim.works import to_yaml, works_from_text

__all__ = ["choose_scenario", "text_sent"]

_MOST_MB = 1
_UPLOADED = "uploaded"


def choose_scenario(desk: Desk) -> None:
    """Open one of the scenarios that came along, upload one, or take the one in hand along."""
    with st.popover("Open or take along", key="scenario"):
        files = sorted(SCENARIOS.glob("*.yaml"))
        names = [file.name for file in files]
        chosen = st.selectbox("A scenario that came along", names, index=None, placeholder="choose one", key="came")
        if st.button("Open it", disabled=chosen is None, key="open") and chosen in names:
            _open(desk, chosen)
        sent = st.file_uploader("Your own scenario file", type=["yaml", "yml"], max_upload_size=_MOST_MB, key="upload")
        if sent is not None and st.session_state.get(_UPLOADED) != sent.file_id:
            st.session_state[_UPLOADED] = sent.file_id
            _take(desk, sent.name, sent.getvalue())
        st.download_button(
            "Take the scenario in hand along", to_yaml(desk.works), "scenario.yaml", "application/yaml",
            key="download", on_click="ignore",
        )  # fmt: skip
    if (fault := st.session_state.pop("fault of an upload", None)) is not None:
        tell(fault)


def _open(desk: Desk, name: str) -> None:
    file = SCENARIOS / name
    desk.put(from_file(str(file), file.stat().st_mtime_ns), f"opening {name}", name)
    st.rerun()


def text_sent(shown: str, content: bytes) -> str:
    """The text of a file that was sent.

    Raises
    ------
    ScenarioError
        It is too large, or no text.
    """
    if len(content) > _MOST_MB * 2**20:
        raise ScenarioError.plain(f"{shown} has more than {_MOST_MB} MB; such a file has a few hundred lines")
    try:
        return content.decode("utf-8-sig")
    except UnicodeDecodeError:
        raise ScenarioError.plain(f"{shown} is not a text in UTF-8; a file in YAML was expected") from None


def _take(desk: Desk, name: str, content: bytes) -> None:
    """Read an uploaded file as a text by itself; it reaches no other file."""
    shown = short(name, 80)
    try:
        text = text_sent(shown, content)
        desk.put(works_from_text(text, shown), f"opening {shown}", shown)
    except LinesimError as error:
        st.session_state["fault of an upload"] = error
        return
    st.toast(f"{in_markdown(shown)} is on the desk.")
    st.rerun()
