"""The last change on the desk, before and after: output, money, loss and first pass, with what was changed in words."""

from __future__ import annotations

import streamlit as st

from dashboard.desk import Desk
from dashboard.parts.ask import ask, show_answer
from dashboard.parts.choose import policy_in_hand
from dashboard.parts.once import once
from dashboard.parts.said import label
from dashboard.parts.show import answer, listed, note, table
from linesim.report.views.advice import change_sheet
from linesim.report.views.differences import scenario_changes
from linesim.study.advice.change import Change
from linesim.words import retell, say
from linesim.works import Works, to_yaml

__all__ = ["before_and_after"]

_REPLICATIONS = 24


def before_and_after(desk: Desk) -> None:
    """What the last change brings; nothing where nothing was changed, or another scenario was opened."""
    before = desk.before
    if before is None:
        return
    policy = policy_in_hand(desk)
    earlier = policy if policy in before.policies else before.todays_policy
    st.subheader(label("change.title"), anchor=False)
    job = ask(desk, "change", "linesim.study.advice.change:ChangeStudy", 2 * _REPLICATIONS, before=before,
              policy=policy, policy_before=earlier, replications=_REPLICATIONS)  # fmt: skip

    def draw(change: Change) -> None:
        answer(" ".join(map(retell, change.sentences)), is_open=bool(change.first))
        key = "change.last" if policy == earlier else "change.last_against"
        note(say(key, step=desk.last_step, policy=policy, against=earlier, runs=change.n))
        table(once(change_sheet, change), "before and after")
        with st.expander(label("change.in_words"), key="what was changed"):
            listed(_changes(desk.digest_before, desk.digest, before, desk.works))

    show_answer(job, draw, "change")


@st.cache_data(show_spinner=False, max_entries=64)
def _changes(digest_before: str, digest: str, _before: Works, _works: Works) -> list[str]:
    """Entries that differ."""
    del digest_before, digest
    return scenario_changes(to_yaml(_before), to_yaml(_works))
