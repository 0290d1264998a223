"""When to change the cutters: all policies against each other, a trial of one's own, and what to ask further."""

from __future__ import annotations

from functools import partial

import streamlit as st

from dashboard.desk import Desk
from dashboard.parts import further
from dashboard.parts.approving import offer_cards
from dashboard.parts.ask import ask, show_answer
from dashboard.parts.before_after import before_and_after
from dashboard.parts.choose import choose_policy, follow_policy
from dashboard.parts.folded import folded
from dashboard.parts.once import once
from dashboard.parts.questions import ask_further
from dashboard.parts.room import light
from dashboard.parts.show import answer, listed, note, picture, rests_on, table
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
    left, right = st.columns([4, 1.2], vertical_alignment="bottom")
    with left:
        policy = choose_policy(desk, "Policy")
    with right:
        rests_on(desk, "cutters")
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
            folded("Each part type by itself", "types", partial(table, types, "types"))
        folded("Each of the others against it", "others", partial(listed, others))

    show_answer(job, draw, "policies")
    before_and_after(desk)
    folded("Rules and intervals, set by set", "rules", partial(_rules, desk, policy))
    folded("Change these rules, as a trial beside the others", "trial", partial(trial_form, desk, policy))
    offer_cards(desk, policy)
    ask_further(desk, "further", _FURTHER, _REPLICATIONS)


def _rules(desk: Desk, policy: str) -> None:
    """What a policy says of each set."""
    note(desk.works.policies[policy].about)
    table(rules_sheet(desk.works, policy), "rules")
