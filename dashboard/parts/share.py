"""What is offered for the desk as a whole: the way to all of one's desks, links for colleagues, and what these did."""

from __future__ import annotations

import streamlit as st

from dashboard.desk import Desk
from dashboard.kept import Kept
from dashboard.parts.arriving import link_address
from dashboard.parts.guard import guarded
from dashboard.parts.past import store
from dashboard.parts.said import label
from dashboard.parts.show import note
from linesim.report.theme.safe import in_markdown
from linesim.report.views.desks import change_lines
from linesim.store.desks import COPY, LOOK, TOGETHER, WAYS, links_to, version_of, withdraw_link
from linesim.words import retell, say, spoken

__all__ = ["news", "share"]

_WORDS = {
    LOOK: ("frame.to_look", "frame.to_look_words"),
    COPY: ("frame.to_copy", "frame.to_copy_words"),
    TOGETHER: ("frame.together", "frame.together_words"),
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
    st.page_link(my_desks, label=label("pages.desks"))
    if desk.kept.is_own:
        with st.popover(label("frame.share"), key="share"):
            guarded(_links)(desk, desk.kept)


def _links(desk: Desk, kept: Kept) -> None:
    """The three links, each made when it is asked for, and withdrawn again."""
    there = links_to(store(), kept.key) if kept.is_kept else {}
    for way in WAYS:
        title, words = _WORDS[way]
        st.markdown(f"**{label(title)}**")
        note(say(words))
        if way in there:
            st.code(link_address(there[way]), language=None, wrap_lines=True)
            if st.button(label("frame.withdraw"), key=f"withdraw {way}"):
                withdraw_link(store(), there[way])
                st.rerun()
        elif st.button(label("frame.make_link"), key=f"make {way}"):
            kept.begin(desk.works, desk.origin)
            kept.link_for(way)
            st.rerun()


def news(desk: Desk) -> None:
    """Say what the last change met with, and what colleagues have changed since; looked up now and then."""
    kept = desk.kept
    if not desk.may_change:
        note(say("frame.only_look"))
    if desk.word:
        st.info(in_markdown(desk.word, 600))
    if kept is not None and kept.is_kept and (not kept.is_own or TOGETHER in links_to(store(), kept.key)):
        st.fragment(spoken(_watch), run_every=_LOOK_EVERY_S)(desk, kept)


def _watch(desk: Desk, kept: Kept) -> None:
    """A word as soon as a colleague has changed something; it is shown when the user wants it."""
    newest = kept.newest()
    if not newest:
        st.rerun()  # which says that the link leads nowhere any more
    if newest <= kept.seen:
        return
    seen, there = (version_of(store(), kept.key, number) for number in (kept.seen, newest))
    lines = change_lines(store(), seen, there)
    named = say("format.semicolon").join(map(retell, lines[:_MOST_NAMED])) if lines else there.words
    if len(lines) > _MOST_NAMED:
        named = say("format.and_more", names=named, more=len(lines) - _MOST_NAMED)
    with st.container(horizontal=True, vertical_alignment="center"):
        st.info(in_markdown(say("frame.changed", changes=named), 600))
        if st.button(label("frame.show_here"), key="show theirs"):
            desk.catch_up()
            st.rerun()
