"""My desks: what is kept, under which names, in which versions, and the way back to any of them."""

from __future__ import annotations

import streamlit as st

from dashboard.desk import Desk
from dashboard.kept import Kept, seat_digest, works_of_version
from dashboard.parts.arriving import new_desk, own_desk, sit_down
from dashboard.parts.choose import pick
from dashboard.parts.guard import guarded, tell
from dashboard.parts.past import store
from dashboard.parts.show import answer, listed, note, table
from dashboard.parts.who import owner_of, person
from linesim.errors import LinesimError
from linesim.report.theme.safe import in_markdown
from linesim.report.views import desks as view
from linesim.store.desks import LONGEST_NAME, DeskVersion, KeptDesk, delete_desk, desks_of, versions_of

__all__ = ["TITLE", "URL", "page"]

TITLE = "My desks"
URL = "desks"


def page(desk: Desk) -> None:
    """Draw the page."""
    kept = desk.kept
    if kept is None:
        answer("Nothing is kept here: the server was started without a store.", is_open=True)
        return
    mine = desks_of(store(), owner_of(desk))
    others = [each for each in mine if each.key != kept.key]
    answer(view.here_words(kept.name, kept.seen, len(others)))
    note("Every change is kept as a version, also when the page is loaded again or the server started again.")
    if kept.is_own:
        guarded(_name)(desk, kept)
    if kept.is_kept and desk.may_change:
        guarded(_versions)(desk, kept)
    guarded(_others)(desk, mine, others)


def _name(desk: Desk, kept: Kept) -> None:
    """The form that gives the desk a name."""
    with st.form(f"name of desk {kept.name}", border=True):
        name = st.text_input("Name of this desk", kept.name or desk.works.name[:LONGEST_NAME], max_chars=LONGEST_NAME)
        if st.form_submit_button("Give it this name"):
            try:
                kept.begin(desk.works, desk.origin)
                kept.rename(name)
                st.rerun()
            except LinesimError as error:
                tell(error)


def _versions(desk: Desk, kept: Kept) -> None:
    """All versions, what one of them has changed, and the way back to it."""
    st.header("Versions of this desk", anchor=False)
    versions = versions_of(store(), kept.key)
    labels = {view.version_label(each): each for each in versions}
    chosen = labels[pick(desk, "version", "Version", list(labels))]
    before = next((each for each in versions if each.version < chosen.version), None)
    if before is None:
        note("It is the first one that is kept.")
    else:
        lines = view.change_lines(store(), before, chosen)
        note(f"It has changed against version {before.version}:" if lines else "It says the same as the one before.")
        listed(lines)
    if chosen is not versions[0]:
        _way_back(desk, chosen, versions[0])
    table(view.versions_sheet(versions, seat_digest(kept.seat)), "versions")


def _way_back(desk: Desk, chosen: DeskVersion, newest: DeskVersion) -> None:
    """What going back to a version would change, and the button that does it."""
    lines = view.change_lines(store(), newest, chosen)
    note("Going back to it changes:" if lines else "The desk says the same as this version.")
    listed(lines)
    if lines and st.button(f"Go back to version {chosen.version}", key=f"back to {chosen.version}", type="primary"):
        works = works_of_version(store(), chosen)
        desk.put(works, f"going back to version {chosen.version}", chosen.origin)
        st.rerun()


def _others(desk: Desk, mine: list[KeptDesk], others: list[KeptDesk]) -> None:
    """All desks of the user: one opened, one taken away, a new one begun."""
    st.header("All my desks", anchor=False)
    if mine:
        table(view.desks_sheet(mine, desk.kept.key if desk.kept else ""), "desks")
    labels = {view.desk_label(each, others): each for each in others}
    chosen = labels[pick(desk, "other desk", "Another desk", list(labels))] if labels else None
    with st.container(horizontal=True):
        if chosen is not None and st.button("Go to this desk", key="go to desk", type="primary"):
            sit_down(own_desk(chosen, person()))
            st.rerun()
        if st.button("Begin a new desk", key="new desk"):
            sit_down(new_desk(person(), owner_of(desk)))
            st.rerun()
    if chosen is not None:
        _take_away(chosen)


def _take_away(chosen: KeptDesk) -> None:
    """Take a desk away, after a word that names what goes."""
    with st.popover("Take this desk away", key="take desk away"):
        st.write(
            f"The desk {in_markdown(chosen.name)} goes for good, with all its versions and its links. Studies "
            "that were asked there stay."
        )
        if st.button("Yes, take it away", key=f"gone {chosen.begun_at}"):
            delete_desk(store(), chosen.key)
            st.rerun()
