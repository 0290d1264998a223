"""Sheets to carry away: the brief, the tool room's weeks, cards with their approval, what other systems take over."""

from __future__ import annotations

from datetime import date
from functools import partial

import streamlit as st

from dashboard.desk import Desk
from dashboard.parts.advising import ask_advice
from dashboard.parts.approving import cards_and_approvals
from dashboard.parts.ask import show_answer
from dashboard.parts.carry import carried, offer
from dashboard.parts.choose import choose_policy
from dashboard.parts.office_sheets import other_systems, tool_room
from dashboard.parts.once import once
from dashboard.parts.said import label, labels
from dashboard.parts.show import answer, listed, rests_on, table
from linesim.report.page.brief_page import brief_page
from linesim.report.theme.safe import in_markdown
from linesim.report.views import office as view
from linesim.study.advice.advice import Advice
from linesim.study.advice.brief import Brief
from linesim.study.advice.study import MOST_MOVES
from linesim.words import retell, say

__all__ = ["TITLE", "URL", "page"]

TITLE = "Sheets to carry away"
URL = "carry"

_REPLICATIONS = 24
_MOST_MOVES = MOST_MOVES


def page(desk: Desk) -> None:
    """Draw the page."""
    usual = desk.chosen("sheet to carry", tuple(_SHEETS))
    chosen = st.segmented_control(
        label("carry.sheet"), list(_SHEETS), default=usual, format_func=labels(_WORDS), required=True,
        key="sheet to carry", label_visibility="collapsed",
    )  # fmt: skip
    desk.choices["sheet to carry"] = chosen or usual
    _SHEETS[str(desk.choices["sheet to carry"])](desk)


def _brief(desk: Desk) -> None:
    """One page for whoever decides."""
    job = ask_advice(desk, _MOST_MOVES, _REPLICATIONS)

    def draw(advice: Advice) -> None:
        brief: Brief = once(Brief, advice)
        answer(retell(brief.headline), is_open=brief.chosen is None or bool(brief.first))
        listed([retell(text) for text in brief.first])
        page = partial(brief_page, brief, date.today())  # noqa: DTZ011 - the day of whoever looks
        offer(desk, "brief", lambda: carried(brief, advice.works, page, "brief", {"replications": _REPLICATIONS}),
              has_words=True)  # fmt: skip
        if (figures := once(view.gain_sheet, brief)) is not None:
            table(figures, "brief figures")
        columns = st.columns(2, gap="medium")
        for number, (head, texts) in enumerate(once(view.brief_texts, brief)):
            with columns[number & 1]:
                st.subheader(in_markdown(head), anchor=False)
                listed(texts)

    show_answer(job, draw, "brief")
    rests_on(desk, "brief")


def _cards(desk: Desk) -> None:
    """Cards, and who approved them."""
    cards_and_approvals(desk, choose_policy(desk, say("frame.by_policy")))
    rests_on(desk, "cards")


def _other_systems(desk: Desk) -> None:
    other_systems(desk, _REPLICATIONS)


_SHEETS = {
    "The brief": _brief, "The tool room's weeks": tool_room, "Cards and their approval": _cards,
    "For other systems": _other_systems,
}  # fmt: skip
_WORDS = dict(zip(_SHEETS, ("carry.brief", "carry.tool_room", "carry.cards", "carry.systems"), strict=True))
