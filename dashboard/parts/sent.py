"""Files that users send: counted, read in a process that can be ended, and let go of."""

from __future__ import annotations

from typing import Any

import streamlit as st
from streamlit import runtime
from streamlit.runtime.scriptrunner import get_script_run_ctx
from streamlit.runtime.uploaded_file_manager import UploadedFile

from dashboard.desk import Desk
from dashboard.parts.room import reader
from dashboard.quota import Quota
from dashboard.words import Order
from linesim.errors import LinesimError, ScenarioError

__all__ = ["MOST_MB", "read_sent", "take_sent", "text_of", "whole_of"]

MOST_MB = 1
"""Of one file."""

_LONGEST_WAIT_S = 60.0
_WAITED = "other files are being read before it; try again in a minute"


@st.cache_resource(show_spinner=False)
def quota() -> Quota:
    """What the server takes on; one for all."""
    return Quota()


def take_sent(desk: Desk, sent: UploadedFile) -> bytes:
    """The content of a file that was sent; the server's memory lets go of it.

    Parameters
    ----------
    desk : Desk
        Whose it is.
    sent : UploadedFile
        As Streamlit gives it.

    Raises
    ------
    LinesimError
        The user, or all users, have sent too much.
    """
    content = sent.getvalue()
    context = get_script_run_ctx()
    if context is not None and runtime.exists():
        context.uploaded_file_mgr.remove_file(context.session_id, sent.file_id)
    quota().take(desk.id, len(content))
    return content


def whole_of(shown: str, content: bytes) -> bytes:
    """The content of a file that was sent, if it is not too much for a scenario.

    Raises
    ------
    ScenarioError
        It is too large.
    """
    if len(content) > MOST_MB * 2**20:
        raise ScenarioError.plain(f"{shown} has more than {MOST_MB} MB; such a file has a few hundred lines")
    return content


def text_of(shown: str, content: bytes) -> str:
    """The text of a file that was sent.

    Raises
    ------
    ScenarioError
        It is too large, or no text.
    """
    try:
        return whole_of(shown, content).decode("utf-8-sig")
    except UnicodeDecodeError:
        raise ScenarioError.plain(f"{shown} is not a text in UTF-8; a file in YAML was expected") from None


def read_sent(desk: Desk, function: str, shown: str, **given: Any) -> Any:
    """Read what was sent, in a process that is ended where it takes too long or too much memory.

    Parameters
    ----------
    desk : Desk
        Whose it is.
    function : str
        What reads it, as ``linesim.works.load:works_from_text``.
    shown : str
        What to call the file in errors.
    **given
        What the function is given, by name.

    Returns
    -------
    object
        What the function returns.

    Raises
    ------
    LinesimError
        The function refuses it, in its own words; or it takes too much.
    """
    order = Order(function, given)
    job = reader().ask(desk.id, "reading", order.number, order)
    if not job.wait(_LONGEST_WAIT_S, for_end=True):
        reader().stop(job)
        raise LinesimError(f"{shown}: {_WAITED}")
    if job.state != "done":
        raise LinesimError(job.error if job.error.startswith(shown) else f"{shown}: {job.error}")
    return job.answer
