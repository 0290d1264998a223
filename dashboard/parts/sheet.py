"""The sheet on which every page is drawn: lettering, the scenario in hand, the cards of the pages, units, undo."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from datetime import datetime
from typing import Protocol

import streamlit as st

from dashboard.desk import Desk
from dashboard.parts.room import light
from dashboard.parts.said import label, labels
from linesim.report.theme.desk_style import desk_style
from linesim.report.theme.markup import element
from linesim.report.theme.safe import in_markdown, short
from linesim.report.theme.shown import SYSTEMS
from linesim.report.theme.signed import signed_foot
from linesim.words import ENGLISH, reader, say

__all__ = ["Card", "cards", "foot", "head", "style", "ways"]

_UNITS = {"metric": "frame.metric", "inch": "frame.inch"}


class Card(Protocol):
    """A page as it stands among the cards."""

    title: str


def style() -> None:
    """Lay the look over the page."""
    st.html(desk_style(light()))


def head(
    desk: Desk,
    heading: tuple[str, str] | None = None,
    manual: st.Page | None = None,
    tools_of_desk: Callable[[], None] | None = None,
) -> None:
    """Whose line this is, what can be taken back, and in what units figures are shown.

    Parameters
    ----------
    desk : Desk
        Of the user who looks.
    heading : (str, str), optional
        Lettering and title of a page that is not about the line on the desk; nothing of that line is offered there.
    manual : Page, optional
        The manual, one click from everywhere.
    tools_of_desk : callable, optional
        Draws what is offered for the desk as a whole.
    """
    lettering, title = heading or (say("frame.lettering", whence=_whence(desk)), desk.works.name)
    name, tools = st.columns(2, vertical_alignment="bottom")
    with name:
        st.html(element("p", lettering, "lettering"))
        st.title(in_markdown(title), anchor=False)
    with tools, st.container(horizontal=True, horizontal_alignment="right", vertical_alignment="bottom"):
        if manual is not None:
            st.page_link(manual, label=label("frame.manual"))
        if heading is None and tools_of_desk is not None:
            tools_of_desk()
        if heading is None and desk.may_change:
            _back_and_forth(desk)
        chosen = st.segmented_control(
            label("frame.units"), SYSTEMS, default=desk.system, required=True, key="units", format_func=labels(_UNITS),
            label_visibility="collapsed",
        )  # fmt: skip
        if chosen is not None and chosen != desk.system:
            desk.system = chosen
            st.rerun()


def foot(desk: Desk, author: str = "") -> None:
    """What a printed page needs beneath it, and no page on the screen: what, which revision, when and who.

    Parameters
    ----------
    desk : Desk
        Of the user who prints.
    author : str
        Who has signed in; left to be written where nobody is asked.
    """
    st.html(signed_foot(desk.works.name, desk.origin, desk.digest, datetime.now().astimezone(), author))


def _whence(desk: Desk) -> str:
    """What the desk is called, if it has a name of its own, and where its scenario came from."""
    name = "" if desk.kept is None else desk.kept.name
    own = [] if name in ("", desk.works.name) else [short(name, 40)]
    return " / ".join([*own, short(desk.origin, 60)])


def _back_and_forth(desk: Desk) -> None:
    last, following = desk.last_step, desk.next_step
    words = label("frame.take_back", step=short(last, 60)) if last else label("frame.nothing_back")
    if st.button(label("frame.undo"), key="undo", disabled=not last, help=words):
        desk.undo()
        st.rerun()
    words = label("frame.do_again", step=short(following, 60)) if following else label("frame.nothing_again")
    if st.button(label("frame.redo"), key="redo", disabled=not following, help=words):
        desk.redo()
        st.rerun()


def cards(pages: Sequence[tuple[str, st.Page]], here: str) -> None:
    """The pages side by side, each by the question that it answers.

    Parameters
    ----------
    pages : sequence of (str, Page)
        Title and page.
    here : str
        Title of the one that is open.
    """
    with st.container(horizontal=True, key="cards", gap="small"):
        for number, (title, page) in enumerate(pages, start=1):
            with st.container(key=f"here{number}" if title == here else f"card{number}", width="content"):
                st.page_link(page, label=f"{number}\N{NO-BREAK SPACE} {_in_label(title)}")


def _in_label(title: str) -> str:
    """A title on a card; English ones hold nothing that Markdown obeys."""
    return title if reader() is ENGLISH else in_markdown(title)


def ways(pages: Sequence[tuple[str, st.Page]]) -> None:
    """Pages without a card to which the open one leads, side by side; nothing where there are none.

    Parameters
    ----------
    pages : sequence of (str, Page)
        Title and page, in their order.
    """
    if pages:
        with st.container(horizontal=True, key="ways", gap="small"):
            for title, page in pages:
                st.page_link(page, label=_in_label(title))
