"""The words of the sheets that are carried away: a translation is sent once, and the desk keeps it."""

from __future__ import annotations

import logging
from dataclasses import dataclass

import streamlit as st
from streamlit.runtime.uploaded_file_manager import UploadedFile

from dashboard.desk import Desk
from dashboard.kept import text_at
from dashboard.parts.guard import tell
from dashboard.parts.said import label
from dashboard.parts.sent import MOST_MB, read_sent, take_sent, text_of
from linesim.errors import LinesimError
from linesim.report.files.words_file import missing_words
from linesim.report.theme.safe import in_markdown, short
from linesim.words import ENGLISH, Words, say
from linesim.words.catalogue import template

__all__ = ["choose_words", "take_words_along", "words_of"]

LOG = logging.getLogger("linesim.dashboard")

_WORDS = "words of the sheets"
"""Under which the desk has them in memory and in the store."""
_READ = "linesim.report.files.words_file:words_from_text"
_KIND = "application/yaml"


@dataclass(frozen=True)
class _Own:
    """What was sent to a desk: the file, and its words; None with a fault where they cannot be read (any more)."""

    text: str
    called: str
    words: Words | None
    fault: LinesimError | None = None


def words_of(desk: Desk) -> Words:
    """The words in which a desk's sheets are printed; English unless others were sent."""
    own = _own(desk)
    return ENGLISH if own is None or own.words is None else own.words


def take_words_along(copy: Desk, of: Desk | str) -> None:
    """Let a copy of a desk have the words of that desk, where it has any; the copy keeps them as its own.

    Parameters
    ----------
    copy : Desk
        Kept already.
    of : Desk or str
        What was copied: a desk in memory, or the key of one in the store.

    Raises
    ------
    LinesimError
        The store cannot be read or written.
    """
    if copy.kept is None:
        return
    if isinstance(of, Desk):
        own = _own(of)
        sent = None if own is None else (own.text, own.called)
    else:
        sent = text_at(copy.kept.store(), of, _WORDS)
    if sent is not None:
        copy.kept.keep_text(_WORDS, *sent)


def choose_words(desk: Desk, key: str) -> Words:
    """Show in which words the sheets are printed, and take others.

    Parameters
    ----------
    desk : Desk
        Keeps them.
    key : str
        For the controls.
    """
    own, words = _own(desk), words_of(desk)
    with st.popover(label("frame.words", language=words.language), key=f"{key} words"):
        st.caption(label("frame.own_words"))
        st.download_button(
            label("frame.template"), template, "words.yaml", _KIND, key=f"take {key} words", on_click="ignore"
        )
        sent = st.file_uploader(
            label("frame.send_words"), ["yaml", "yml"], max_upload_size=MOST_MB, key=f"{key} words file"
        )
        taken, fault_of = f"{key} words that were sent", f"{key} fault of the words"
        if sent is not None and st.session_state.get(taken) != sent.file_id:
            st.session_state[taken] = sent.file_id
            _take(desk, sent, fault_of)
        if sent is not None and (fault := st.session_state.get(fault_of)) is not None:
            tell(fault)
        if own is not None:
            _show_own(desk, own, key)
    return words


def _show_own(desk: Desk, own: _Own, key: str) -> None:
    """What was sent before: to be had back, and to be given up."""
    if own.fault is not None:
        tell(own.fault)
    if own.text:
        st.download_button(
            label("frame.your_words"),
            own.text,
            "your-words.yaml",
            _KIND,
            key=f"take {key} own words",
            on_click="ignore",
        )
    if st.button(label("frame.english"), key=f"{key} english"):
        _drop(desk)
        st.rerun()


def _own(desk: Desk) -> _Own | None:
    """What was sent to the desk; fetched from the store where a restart has emptied the memory."""
    if _WORDS not in desk.choices:
        desk.choices[_WORDS] = _left(desk)
    own: _Own | None = desk.choices[_WORDS]
    return own


def _left(desk: Desk) -> _Own | None:
    """What the store has kept; a file that cannot be read any more is told, and stays to be had."""
    if desk.kept is None:
        return None
    text = called = ""
    try:
        kept = desk.kept.kept_text(_WORDS)
        if kept is None:
            return None
        text, called = kept
        return _Own(text, called, read_sent(desk, _READ, called, text=text, name=called))
    except LinesimError as error:
        LOG.warning("words that were sent to a desk cannot be read again: %s", error)
        return _Own(text, called, None, error)


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
    desk.choices[_WORDS] = _Own(text, shown, words)
    _keep(desk, text, shown)
    st.toast(in_markdown(missing_words(words, shown) or say("frame.all_words", file=shown)))
    st.rerun()


def _keep(desk: Desk, text: str, called: str) -> None:
    """Keep the file with the desk; where that fails, a word says so and it stays in hand."""
    if desk.kept is None or not desk.may_change:
        return
    try:
        desk.kept.begin(desk.works, desk.origin)
        desk.kept.keep_text(_WORDS, text, called)
    except LinesimError as error:
        LOG.warning("words that were sent to a desk are not kept: %s", error)
        desk.word = say("frame.words_not_kept", error=str(error))


def _drop(desk: Desk) -> None:
    desk.choices[_WORDS] = None
    if desk.kept is not None and desk.may_change:
        try:
            desk.kept.drop_text(_WORDS)
        except LinesimError as error:
            LOG.warning("words of a desk are kept longer than they are needed: %s", error)
