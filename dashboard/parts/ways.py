"""Ways from a figure to the page that says why, with the choice made already, and the way back."""

from __future__ import annotations

from collections.abc import Mapping

import streamlit as st

from dashboard.desk import Desk
from dashboard.parts.choose import picked_for
from dashboard.parts.folded import unfold
from dashboard.parts.said import label
from linesim.words import say

__all__ = ["offer_way", "offer_way_back", "signposted"]

_PAGES = "pages by their addresses"
_HERE = "address of this page"
_BACK = "way back"


def signposted(pages: Mapping[str, st.Page], here: str) -> None:
    """Know the pages, and on which of them the user is.

    Parameters
    ----------
    pages : mapping of str to Page
        All of them, by their addresses.
    here : str
        Address of the one that is open.
    """
    st.session_state[_PAGES] = dict(pages)
    st.session_state[_HERE] = here


def offer_way(desk: Desk, words: str, to: str, choices: Mapping[str, str], fold: str = "") -> None:
    """A button that leads to another page, with what is to be looked at there chosen.

    Parameters
    ----------
    desk : Desk
        Keeps the choices.
    words : str
        On the button.
    to : str
        Address of the page.
    choices : mapping of str to str
        What is chosen there, by the names of the choices.
    fold : str
        Name of the fold in which it stands there; empty if in none.
    """
    if st.button(words, key=f"way to {to} {sorted(choices.items())}", type="tertiary"):
        for name, choice in choices.items():
            picked_for(desk, name, choice)
        if fold:
            unfold(fold)
        desk.choices[_BACK] = st.session_state[_HERE]
        st.switch_page(st.session_state[_PAGES][to])


def offer_way_back(desk: Desk) -> None:
    """A button that leads back to where the user has come from; none for who came by the cards or has gone back."""
    back, here = desk.choices.get(_BACK), st.session_state[_HERE]
    page = st.session_state[_PAGES].get(back)
    if page is None or back == here:
        desk.choices.pop(_BACK, None)
        return
    if st.button(
        label("frame.back_to", page=say(f"pages.{back}")), key="way back", type="tertiary", icon=":material/arrow_back:"
    ):
        desk.choices.pop(_BACK, None)
        st.switch_page(page)
