"""What is second on a page: folded away, worked out only once it is opened, and then drawn by itself."""

from __future__ import annotations

from collections.abc import Callable

import streamlit as st

from dashboard.parts.guard import guarded
from dashboard.parts.room import desks
from linesim.report.theme.safe import in_markdown
from linesim.words import ENGLISH, reader, spoken

__all__ = ["folded", "unfold"]

_FOLDS = "folds that were opened or closed"
_ALL_OPEN = False
"""For tests, which look into all of them."""


def folded(words: str, name: str, draw: Callable[[], None], is_open: bool = False) -> None:
    """Fold something away; nothing of it is worked out, sent or drawn until somebody opens it.

    Parameters
    ----------
    words : str
        On the fold, always the same for the same name.
    name : str
        Of the fold, one for each place on the pages. The desk remembers whether it was open when the page was left.
    draw : callable
        Draws what is in it.
    is_open : bool
        Whether it is open before anybody has opened or closed it.
    """
    _fold(words if reader() is ENGLISH else in_markdown(words), name, spoken(draw), is_open)


def unfold(name: str) -> None:
    """Open a fold that is drawn after this, because of what the user has just asked for elsewhere."""
    st.session_state[_key(name)] = _folds()[name] = True


@st.fragment
def _fold(words: str, name: str, draw: Callable[[], None], is_open: bool) -> None:
    folds, key = _folds(), _key(name)
    if key not in st.session_state:
        st.session_state[key] = folds.get(name, is_open or _ALL_OPEN)
    fold = st.expander(words, key=key, on_change="rerun")
    folds[name] = bool(fold.open)
    if fold.open:
        with fold:
            guarded(draw)()


def _folds() -> dict[str, bool]:
    """Which folds were left open or closed at the desk of the user who looks."""
    desk = desks().find(str(st.session_state.get("desk", "")))
    folds: dict[str, bool] = {} if desk is None else desk.choices.setdefault(_FOLDS, {})
    return folds


def _key(name: str) -> str:
    return f"fold {name}"
