"""When to change the cutters: all policies against each other, a trial of one's own, and what to ask further."""

from __future__ import annotations

import streamlit as st

from dashboard.desk import Desk
from dashboard.parts import further
from dashboard.parts.approving import offer_cards
from dashboard.parts.ask import ask, show_answer
from dashboard.parts.before_after import before_and_after
from dashboard.parts.choose import choose_policy, follow_policy
from dashboard.parts.once import once
from dashboard.parts.room import light
from dashboard.parts.show import answer, note, picture, rests_on, table
from dashboard.parts.trial import trial_form
from linesim.report.page.type_sheet import type_sheet
from linesim.report.views.policy import policies_note, policies_picture, recommendation, rules_sheet
from linesim.study.comparing.comparison import Comparison

__all__ = ["TITLE", "URL", "page"]

TITLE = "When to change the cutters"
URL = "cutters"

_REPLICATIONS = 24

_FURTHER = {
    "The interval of one set": further.one_set,
    "Value of a bottleneck minute": further.minute,
    "The best intervals of all": further.search,
    "How many sets": further.how_many,
    "Sensitivity": further.drives,
}


def page(desk: Desk) -> None:
    """Draw the page."""
    names = tuple(desk.works.policies)
    job = ask(desk, "policies", "linesim.study.comparing.glance:PolicyGlance", _REPLICATIONS * len(names),
              policies=names, replications=_REPLICATIONS)  # fmt: skip

    def draw(result: Comparison) -> None:
        first, *others = once(recommendation, result)
        answer(first, is_open=not result.best.is_clear)
        event = picture(once(policies_picture, result, light()), "policies", on_select=True)
        note(f"A click on a point takes that policy in hand: its rules stand below. {once(policies_note, result)}")
        follow_policy(desk, event)
        if (types := type_sheet(result)) is not None:
            table(types, "types")
        with st.expander("Each of the others against it"):
            for text in others:
                note(text)

    show_answer(job, draw, "policies")
    rests_on(desk, "cutters")
    _rules(desk)
    _further(desk)


def _rules(desk: Desk) -> None:
    """What a policy says of each set, and a trial that sets out from it."""
    st.header("Rules and intervals, set by set", anchor=False)
    policy = choose_policy(desk, "Policy")
    note(desk.works.policies[policy].about)
    table(rules_sheet(desk.works, policy), "rules")
    with st.expander("Change these rules, as a trial beside the others", key="trial open"):
        trial_form(desk, policy)
    before_and_after(desk)
    offer_cards(desk, policy)


def _further(desk: Desk) -> None:
    """One further question at a time."""
    st.header("Ask further", anchor=False)
    usual = desk.chosen("further", tuple(_FURTHER))
    chosen = st.segmented_control(
        "Ask further", list(_FURTHER), default=usual, required=True, key="further", label_visibility="collapsed"
    )
    desk.choices["further"] = chosen or usual
    _FURTHER[str(desk.choices["further"])](desk, _REPLICATIONS)
