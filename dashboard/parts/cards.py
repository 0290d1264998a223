"""Tool-change cards to be taken away: one sheet of paper for each operation."""

from __future__ import annotations

from datetime import date
from functools import partial

import streamlit as st

from dashboard.desk import Desk
from linesim.cards import tool_cards
from linesim.report.page.cards_page import Printed, Signatures, cards_page
from linesim.report.theme.paper import PAPERS_MM
from linesim.report.theme.shown import System
from linesim.works import Works, digest

__all__ = ["offer_cards"]


def offer_cards(desk: Desk, policy: str) -> None:
    """The cards of a policy, ready to be printed.

    Parameters
    ----------
    desk : Desk
        Whose line it is.
    policy : str
        By which sets are changed.
    """
    with st.expander("Tool-change cards, one sheet for each operation", key="cards open"):
        st.caption("For the machine: when each set is changed, what to look for, sharp sets to have at hand, cautions.")
        paper = st.radio("Paper", list(PAPERS_MM), horizontal=True, key="cards paper")
        st.download_button("The cards (HTML, to print)", partial(_page, desk.works, policy, str(paper), desk.system),
                           "tool-change-cards.html", "text/html", key="take cards", on_click="ignore")  # fmt: skip


def _page(works: Works, policy: str, paper: str, system: System) -> str:
    return cards_page(tool_cards(works, policy), Signatures(), Printed(digest(works), date.today(), paper, system))  # noqa: DTZ011
