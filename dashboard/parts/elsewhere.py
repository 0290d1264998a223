"""What is shown where an address leads to no desk: a word about it, and the ways on; never another scenario."""

from __future__ import annotations

import streamlit as st

from dashboard.kept import works_of_version
from dashboard.parts.arriving import Elsewhere, copied_desk, new_desk, sit_down
from dashboard.parts.past import store
from dashboard.parts.sheet_words import take_words_along
from dashboard.parts.show import answer, note
from linesim.report.theme.markup import element
from linesim.report.views.desks import offered_words
from linesim.store.desks import KeptDesk, version_of

__all__ = ["show_elsewhere"]


def show_elsewhere(there: Elsewhere, owner: str) -> None:
    """Say where an address leads, and offer the ways on.

    Parameters
    ----------
    there : Elsewhere
        As `arrive` gives it.
    owner : str
        Who has signed in.
    """
    st.html(element("p", "linesim / works desk", "lettering"))
    if there.offered is not None:
        _offered(there.offered, owner)
    else:
        st.title("This link leads nowhere any more", anchor=False)
        answer("There is no desk at this address.", is_open=True)
        note(
            "Its link was withdrawn, or the desk was taken away, or nothing had been changed on it when the server was "
            "started again. Ask whoever gave you the link for another one."
        )
        left = there.left
        if left is not None and left.may_change:
            note("What you had in hand has not been dropped: it can become a desk of your own.")
            if st.button("Keep it as a desk of my own", key="keep left", type="primary"):
                own = copied_desk(left.works, left.origin, owner)
                take_words_along(own, left)
                sit_down(own)
                st.rerun()
    if st.button("Begin at a new desk", key="begin anew"):
        sit_down(new_desk(owner))
        st.rerun()


def _offered(desk: KeptDesk, owner: str) -> None:
    """A copy of a desk, for whoever was given the link."""
    st.title("A copy for you", anchor=False)
    answer(offered_words(desk))
    note("Your copy is a desk of your own; what you do on it changes nothing at the other.")
    if st.button("Take the copy", key="take copy", type="primary"):
        version = version_of(store(), desk.key, desk.version)
        copy = copied_desk(works_of_version(store(), version), f"copy of {desk.name}", owner)
        take_words_along(copy, desk.key)
        sit_down(copy)
        st.rerun()
