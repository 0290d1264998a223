"""What is offered for the desk as a whole: the way to all of one's desks, links for colleagues, and what these did."""

from __future__ import annotations

import streamlit as st

from dashboard.desk import Desk
from dashboard.kept import Kept
from dashboard.parts.arriving import link_address
from dashboard.parts.guard import guarded
from dashboard.parts.past import store
from dashboard.parts.show import note
from linesim.report.theme.safe import in_markdown
from linesim.report.views.desks import change_lines
from linesim.store.desks import COPY, LOOK, TOGETHER, WAYS, links_to, version_of, withdraw_link

__all__ = ["news", "share"]

_WORDS = {
    LOOK: ("To look", "Whoever has it sees this desk as it stands, and can change nothing."),
    COPY: ("To copy", "Whoever has it can take a copy of his own; what he does there changes nothing here."),
    TOGETHER: ("To work together", "Whoever has it changes this desk as you do; each takes back his own steps only."),
}
_LOOK_EVERY_S = 4.0
_MOST_NAMED = 3


def share(desk: Desk, my_desks: st.Page) -> None:
    """Offer the way to all desks, and the links of this one.

    Parameters
    ----------
    desk : Desk
        Of the user who looks.
    my_desks : Page
        Where the desks are listed.
    """
    if desk.kept is None:
        return
    st.page_link(my_desks, label="My desks")
    if desk.kept.is_own:
        with st.popover("Share", key="share"):
            guarded(_links)(desk, desk.kept)


def _links(desk: Desk, kept: Kept) -> None:
    """The three links, each made when it is asked for, and withdrawn again."""
    there = links_to(store(), kept.key) if kept.is_kept else {}
    for way in WAYS:
        title, words = _WORDS[way]
        st.markdown(f"**{title}**")
        note(words)
        if way in there:
            st.code(link_address(there[way]), language=None, wrap_lines=True)
            if st.button("Withdraw this link", key=f"withdraw {way}"):
                withdraw_link(store(), there[way])
                st.rerun()
        elif st.button("Make this link", key=f"make {way}"):
            kept.begin(desk.works, desk.origin)
            kept.link_for(way)
            st.rerun()


def news(desk: Desk) -> None:
    """Say what the last change met with, and what colleagues have changed since; looked up now and then."""
    kept = desk.kept
    if not desk.may_change:
        note("You look at a colleague's desk. What you choose here is yours alone; nothing on it can be changed.")
    if desk.word:
        st.info(in_markdown(desk.word, 600))
    if kept is not None and kept.is_kept and (not kept.is_own or TOGETHER in links_to(store(), kept.key)):
        _watch(desk, kept)


@st.fragment(run_every=_LOOK_EVERY_S)
def _watch(desk: Desk, kept: Kept) -> None:
    """A word as soon as a colleague has changed something; it is shown when the user wants it."""
    newest = kept.newest()
    if not newest:
        st.rerun()  # which says that the link leads nowhere any more
    if newest <= kept.seen:
        return
    seen, there = (version_of(store(), kept.key, number) for number in (kept.seen, newest))
    lines = change_lines(store(), seen, there)
    more = f" and {len(lines) - _MOST_NAMED} more" if len(lines) > _MOST_NAMED else ""
    named = "; ".join(lines[:_MOST_NAMED]) + more if lines else there.words
    with st.container(horizontal=True, vertical_alignment="center"):
        st.info(in_markdown(f"A colleague has changed this desk: {named}. What you have typed stays.", 600))
        if st.button("Show it here", key="show theirs"):
            desk.catch_up()
            st.rerun()
