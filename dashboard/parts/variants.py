"""Which variants are set against each other: files of the program that fit the scenario, or one's own."""

from __future__ import annotations

from typing import NamedTuple

import streamlit as st
from streamlit.runtime.uploaded_file_manager import UploadedFile

from dashboard.desk import Desk
from dashboard.parts.choose import pick, picked_for
from dashboard.parts.guard import tell
from dashboard.parts.room import SCENARIOS
from dashboard.parts.sent import MOST_MB, read_sent, take_sent, text_of
from dashboard.parts.typed_variants import ASKED, FILE, TYPED
from linesim.errors import LinesimError
from linesim.report.theme.safe import in_markdown, short
from linesim.routing import variants_from_text
from linesim.works import Works

__all__ = ["Asked", "choose_variants"]

_READ = "linesim.routing.variants:variants_from_text"
_SENT = "variants sent"
_FAULT = "fault of the variants"


class Asked(NamedTuple):
    """Variants as a text, with the name of their file and what they ask."""

    file: str
    text: str
    question: str


@st.cache_data(show_spinner=False, max_entries=64)
def _fitting(digest: str, _works: Works) -> dict[str, Asked]:
    """Files of variants of the program that can be laid over a scenario, by their names for people."""
    del digest
    result = {}
    for path in sorted((SCENARIOS / "variants").glob("*.yaml")):
        text = path.read_text(encoding="utf-8")
        try:
            variants = variants_from_text(text, _works, path.name)
        except LinesimError:
            continue
        result[variants.name] = Asked(path.name, text, variants.question)
    return result


@st.cache_data(show_spinner=False, max_entries=64)
def _typed(digest: str, text: str, _works: Works) -> dict[str, Asked]:
    """Variants that were typed in, if they still go with the scenario."""
    del digest
    try:
        return {TYPED: Asked(FILE, text, variants_from_text(text, _works, FILE).question)}
    except LinesimError:
        return {}


def choose_variants(desk: Desk) -> Asked | None:
    """One set of variants; None if none fits and none was sent."""
    left, right = st.columns([3, 1.3], vertical_alignment="bottom")
    with right, st.popover("Your own variants", key="own variants"):
        sent = st.file_uploader(
            "A file of variants", type=["yaml", "yml"], max_upload_size=MOST_MB, key="variants upload"
        )
        if sent is not None and st.session_state.get(_SENT) != sent.file_id:
            st.session_state[_SENT] = sent.file_id
            _take(desk, sent)
        if sent is not None and (fault := st.session_state.get(_FAULT)) is not None:
            tell(fault)
    fitting = dict(_fitting(desk.digest, desk.works))
    own = desk.choices.get("own variants")
    if isinstance(own, Asked):
        fitting = {f"yours: {short(own.file, 60)}": own, **fitting}
    if ASKED in desk.choices:
        fitting = _typed(desk.digest, str(desk.choices[ASKED]), desk.works) | fitting
    if not fitting:
        return None
    with left:
        return fitting[pick(desk, "variants", "Variants", list(fitting))]


def _take(desk: Desk, sent: UploadedFile) -> None:
    """Read a file that was sent as a text by itself; it reaches no other file."""
    shown = short(sent.name, 80)
    st.session_state.pop(_FAULT, None)
    try:
        text = text_of(shown, take_sent(desk, sent))
        variants = read_sent(desk, _READ, shown, text=text, works=desk.works, name=shown)
    except LinesimError as error:
        st.session_state[_FAULT] = error
        return
    desk.choices["own variants"] = Asked(shown, text, variants.question)
    picked_for(desk, "variants", f"yours: {short(shown, 60)}")
    st.toast(f"{in_markdown(shown)} is on the desk.")
