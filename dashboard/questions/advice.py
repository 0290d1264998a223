"""What to do first: the changes to today's practice that bring most money a month, each tried with one click."""

from __future__ import annotations

import streamlit as st

from dashboard.desk import Desk
from dashboard.parts.advising import ask_advice
from dashboard.parts.ask import show_answer
from dashboard.parts.before_after import before_and_after
from dashboard.parts.choose import picked_for
from dashboard.parts.once import once
from dashboard.parts.said import label
from dashboard.parts.show import answer, figure_strip, listed, note, rests_on, table
from linesim.report.theme.safe import short
from linesim.report.views import advice as view
from linesim.study.advice.advice import Advice
from linesim.study.advice.figures import Proposal
from linesim.study.advice.move import TRIAL, on_trial
from linesim.study.advice.study import MOST_MOVES
from linesim.study.advice.words import basis_words
from linesim.words import retell

__all__ = ["TITLE", "URL", "page"]

TITLE = "What to do first"
URL = "advice"

_REPLICATIONS = 24
_MOST_MOVES = MOST_MOVES


def page(desk: Desk) -> None:
    """Draw the page."""
    job = ask_advice(desk, _MOST_MOVES, _REPLICATIONS)

    def draw(advice: Advice) -> None:
        answer(once(view.headline, advice), is_open=bool(advice.first) or not advice.actions)
        for number, proposal in enumerate(advice.actions or advice.promising, start=1):
            _action(desk, advice, proposal, f"{number}. ")
        if advice.together is not None:
            _action(desk, advice, advice.together, "")
        note(once(view.last_words, advice))

    show_answer(job, draw, "advice")
    rests_on(desk, "advice")
    before_and_after(desk)


def _action(desk: Desk, advice: Advice, proposal: Proposal, number: str) -> None:
    """One action: the money, what to do, why, what it rests on, and the button that does it on trial."""
    with st.container(border=True, key=f"action {number}"):
        money, words = st.columns([1.2, 4.4], vertical_alignment="center")
        with money:
            figure_strip(once(view.amount_shown, proposal))
        with words:
            st.html(once(view.action_shown, proposal, number))
            with st.container(horizontal=True, gap="small"):
                if proposal.is_fresh:
                    _why(advice, proposal, number)
                with st.popover(label("advice.rests"), key=f"action {number} rests"):
                    listed([retell(text) for text in once(basis_words, advice)])
                if st.button(label("advice.try"), key=f"action {number} trial"):
                    _try(desk, proposal)


def _why(advice: Advice, proposal: Proposal, number: str) -> None:
    """Before and after, and the ledger of a month."""
    with st.popover(label("advice.why"), key=f"action {number} why"):
        note(once(view.why_words, proposal))
        table(once(view.why_sheet, proposal, advice.each_confidence), f"why {number}")
        table(once(view.items_sheet, proposal), f"items {number}")


def _try(desk: Desk, proposal: Proposal) -> None:
    """Put the change on the desk beside today's practice, which stays; every page follows it from then on."""
    works, name = on_trial(desk.works, proposal.moves, TRIAL)
    if works is not desk.works:
        desk.put(works, f"on trial: {short(proposal.label, 60)}")
    picked_for(desk, "policy", name)
    st.toast(label("advice.on_trial", policy=name))
    st.rerun()
