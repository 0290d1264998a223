"""The words of the sheets that are carried away: a translation is sent once, and the desk keeps it."""

from __future__ import annotations

import streamlit as st
from streamlit.runtime.uploaded_file_manager import UploadedFile

from dashboard.desk import Desk
from dashboard.parts.guard import tell
from dashboard.parts.sent import MOST_MB, read_sent, take_sent, text_of
from linesim.errors import LinesimError
from linesim.report.files.words_file import missing_words
from linesim.report.theme.safe import in_markdown, short
from linesim.words import ENGLISH, Words
from linesim.words.catalogue import template

__all__ = ["choose_words", "words_of"]

_WORDS = "words of the sheets"
_READ = "linesim.report.files.words_file:words_from_text"


def words_of(desk: Desk) -> Words:
    """The words in which a desk's sheets are printed; English unless others were sent."""
    own = desk.choices.get(_WORDS)
    return own if isinstance(own, Words) else ENGLISH


def choose_words(desk: Desk, key: str) -> Words:
    """Show in which words the sheets are printed, and take others.

    Parameters
    ----------
    desk : Desk
        Keeps them.
    key : str
        For the controls.
    """
    words = words_of(desk)
    with st.popover(f"Words: {words.language}", key=f"{key} words"):
        st.caption(
            "Whoever reads English badly reads his card badly. Put your own words into the file, and send it here."
        )
        st.download_button(
            "The words (YAML)", template, "words.yaml", "application/yaml", key=f"take {key} words", on_click="ignore"
        )
        sent = st.file_uploader(
            "The words in another language", ["yaml", "yml"], max_upload_size=MOST_MB, key=f"{key} words file"
        )
        taken, fault_of = f"{key} words that were sent", f"{key} fault of the words"
        if sent is not None and st.session_state.get(taken) != sent.file_id:
            st.session_state[taken] = sent.file_id
            _take(desk, sent, fault_of)
        if sent is not None and (fault := st.session_state.get(fault_of)) is not None:
            tell(fault)
        if words is not ENGLISH and st.button("English again", key=f"{key} english"):
            desk.choices.pop(_WORDS)
            st.rerun()
    return words


def _take(desk: Desk, sent: UploadedFile, fault_of: str) -> None:
    """Read what was sent, as a text by itself; what is wrong with it is kept for the control that took it."""
    shown = short(sent.name, 80)
    st.session_state.pop(fault_of, None)
    try:
        text = text_of(shown, take_sent(desk, sent))
        words: Words = read_sent(desk, _READ, shown, text=text, name=shown)
    except LinesimError as error:
        st.session_state[fault_of] = error
        return
    desk.choices[_WORDS] = words
    st.toast(in_markdown(missing_words(words, shown) or f"{shown}: every sheet is printed in these words."))
    st.rerun()
