"""Where the money goes: the ledger of a good part, opened as far as it goes, and two policies set side by side."""

from __future__ import annotations

from functools import partial

import streamlit as st

from dashboard.desk import Desk
from dashboard.parts.ask import ask, show_answer
from dashboard.parts.choose import choose_against, choose_line, choose_policy, has_clicked, pick, pick_operation
from dashboard.parts.folded import folded, unfold
from dashboard.parts.once import once
from dashboard.parts.room import light
from dashboard.parts.show import answer, note, picture, rests_on, table
from linesim.ledger import ITEMS
from linesim.report.views import money as money_view
from linesim.study.comparing.closely import CloseLook

__all__ = ["TITLE", "URL", "page"]

TITLE = "Where the money goes"
URL = "money"

_REPLICATIONS = 24
_ALL = "all"


def page(desk: Desk) -> None:
    """Draw the page."""
    line = choose_line(desk)
    left, right, more = st.columns([2, 2, 1.2], vertical_alignment="bottom")
    with left:
        policy = choose_policy(desk, "Cutters are changed by this policy")
    with right:
        against = choose_against(desk, policy)
    with more:
        rests_on(desk, "money")
    both = (policy, against) if against != policy else (policy,)
    job = ask(desk, "money", "linesim.study.comparing.closely:look_steps", _REPLICATIONS * len(both), policies=both,
              replications=_REPLICATIONS)  # fmt: skip

    def draw(look: CloseLook) -> None:
        answer(once(money_view.money_sentence, look, policy, line))
        event = picture(once(money_view.money_picture, look, policy, line, light()), "money", on_select=True)
        note("A click on a piece of a bar shows beneath what that money is made of.")
        if has_clicked("money", event):
            unfold("made of")
        folded("What a figure is made of", "made of", partial(_made_of, desk, look, policy, line, event))
        folded("The ledger of a good part, item by item", "ledger", partial(_ledger, look, policy, line))
        _between(look, policy, against, line)

    show_answer(job, draw, "money")


def _ledger(look: CloseLook, policy: str, line: str) -> None:
    """Items."""
    table(once(money_view.item_sheet, look, policy, line), "ledger")


def _made_of(desk: Desk, look: CloseLook, policy: str, line: str, event: object) -> None:
    """What any figure is made of."""
    left, right = st.columns(2)
    with left:
        where = pick_operation(desk, "where", line, (_ALL,), clicked=event)
    with right:
        item = pick(desk, "item", "Item", [_ALL, *ITEMS], usual="quality loss", clicked=event)
    wanted = (None if where == _ALL else where, None if item == _ALL else item)
    table(once(money_view.composition_sheet, look, policy, line, *wanted), "made of")


def _between(look: CloseLook, policy: str, against: str, line: str) -> None:
    """The two policies."""
    st.header("What the other policy changes, and why", anchor=False)
    if policy == against:
        note("Choose another policy above, to set this one against it.")
        return
    answer(once(money_view.between_sentence, look, policy, against, line))
    folded("The greatest differences, by operation and item", "between",
           lambda: _differences(look, policy, against, line))  # fmt: skip


def _differences(look: CloseLook, policy: str, against: str, line: str) -> None:
    picture(once(money_view.between_picture, look, policy, against, line, light()), "between")
