"""What every practitioner knows, held against the scenario in hand; begun when a button is pressed."""

from __future__ import annotations

import streamlit as st

from dashboard.desk import Desk
from dashboard.parts.ask import ask, show_answer
from dashboard.parts.choose import choose_policy
from dashboard.parts.show import answer, note, table
from linesim.report.views.practice import claims_sheet, comparisons_sheet
from linesim.study.practice import Practice

__all__ = ["practice"]

DRAWS = 40
_RUNS_OF_A_DRAW = 60


def practice(desk: Desk, most: int) -> None:
    """Claims that every practitioner would make, and how often each is so here."""
    policy = choose_policy(desk, "Cutters are changed by")
    asked = (desk.digest, policy)
    if desk.choices.get("practice asked") != asked:
        if st.button("Hold it against what practitioners know", key="practice begin", type="primary"):
            desk.choices["practice asked"] = asked
            st.rerun()
        note("What is not known well is drawn again and again; each claim's alternatives are run on the same castings.")
        return
    draws = min(5 * most, DRAWS)
    job = ask(desk, "practice", "linesim.study.practice.study:PracticeStudy", draws * _RUNS_OF_A_DRAW, policy=policy,
              replications=draws)  # fmt: skip

    def draw(result: Practice) -> None:
        first, *_ = result.sentences
        answer(first, is_open=result.draws < draws)
        table(claims_sheet(result), "claims")
        with st.expander("Every comparison"):
            table(comparisons_sheet(result), "comparisons")

    show_answer(job, draw, "practice")
