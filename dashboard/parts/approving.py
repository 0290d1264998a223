"""Cards of a policy with what has been approved of them: proposing, approving, telling an old card from a new one."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date, timedelta
from functools import partial

import streamlit as st

from dashboard.desk import Desk
from dashboard.parts.carry import Carried, offer
from dashboard.parts.choose import pick
from dashboard.parts.folded import folded
from dashboard.parts.guard import guarded
from dashboard.parts.past import store
from dashboard.parts.show import answer, note, table
from dashboard.parts.who import shown_name
from linesim.cards import CardsOf, tool_cards
from linesim.errors import StoreError
from linesim.report.page.cards_page import Printed, Signatures, cards_page
from linesim.report.theme.safe import in_markdown, short
from linesim.report.theme.shown import System
from linesim.report.views import office as view
from linesim.store import StoredWorks
from linesim.store.approvals import LONGEST_PERSON, Approval, Proposed, approvals_in, approve, propose
from linesim.store.card_state import CardState, card_state, states_of_card
from linesim.works import Works, digest, to_yaml, works_from_text

__all__ = ["cards_and_approvals", "offer_cards"]

_REVIEW_AFTER_DAYS = 182


def _cards_carried(cards: CardsOf, works: Works, states: dict[str, CardState], system: System) -> Carried:
    """The cards of a policy, as they are carried away, each with how it stands to what has been approved."""
    today = date.today()  # noqa: DTZ011 - the day of whoever looks
    origin = {"works": works.name, "digest": digest(works), "policy": cards.policy}

    def page(paper: str) -> str:
        return cards_page(cards, Signatures(), Printed(digest(works), today, paper, system), states)

    return Carried("tool-change-cards", cards.tables, origin, page)


def offer_cards(desk: Desk, policy: str) -> None:
    """The cards of a policy, ready to be printed.

    Parameters
    ----------
    desk : Desk
        Whose line it is.
    policy : str
        By which sets are changed.
    """
    folded(
        "Tool-change cards, one sheet for each operation", "tool-change cards", partial(_cards_offered, desk, policy)
    )


def _cards_offered(desk: Desk, policy: str) -> None:
    st.caption("For the machine: when each set is changed, what to look for, sharp sets to have at hand, cautions.")
    offer(desk, "tool-change-cards", partial(_cards_now, desk, policy), has_words=True)


def _cards_now(desk: Desk, policy: str) -> Carried:
    cards = tool_cards(desk.works, policy)
    return _cards_carried(cards, desk.works, _states_of(cards, _known(desk) or []), desk.system)


def cards_and_approvals(desk: Desk, policy: str) -> None:
    """Draw the cards of a policy, how they stand, and what can be done about it.

    Parameters
    ----------
    desk : Desk
        Whose line it is.
    policy : str
        By which sets are changed.
    """
    cards, known = _cards_of(desk.digest, policy, desk.works), _known(desk)
    states = _states_of(cards, known or [])
    holding = sum(state.is_in_force for state in states.values())
    answer(f'{holding} of {len(cards.numbers)} cards of "{policy}" are approved and hold today.', holding == 0)
    offer(desk, "tool-change-cards", partial(_cards_now, desk, policy), has_words=True)
    table(view.cards_sheet(desk.works, cards.numbers, states), "cards")
    st.header("Approval", anchor=False)
    if known is None:
        note(
            "Nothing is kept on this server, so that nothing can be proposed or approved here: sign the printed cards."
        )
        return
    if known:
        today = date.today()  # noqa: DTZ011 - the day of whoever looks
        table(view.approvals_sheet(known, desk.works.name, today), "approvals")
    note(
        "Kept in one store for everybody who uses this server, by the name of the works. Names are what people type "
        "unless they have signed in; where that matters, sign the printed card."
    )
    if desk.may_change:
        guarded(_propose)(desk, cards)
        guarded(_approve)(desk, known)
    guarded(_tell)(known)


def _known(desk: Desk) -> list[Approval] | None:
    """All proposals for a works of this name; None where nothing is kept."""
    try:
        return approvals_in(store(), desk.works.name)
    except StoreError:
        return None


@st.cache_resource(show_spinner=False, max_entries=64)
def _cards_of(digest: str, policy: str, _works: Works) -> CardsOf:
    del digest
    return tool_cards(_works, policy)


def _states_of(cards: CardsOf, known: Sequence[Approval]) -> dict[str, CardState]:
    """How each card stands today, by where it hangs; empty where nothing was ever proposed."""
    today = date.today()  # noqa: DTZ011 - the day of whoever looks
    states = {at: card_state(known, cards.works, at, number, today) for at, number in cards.numbers.items()}
    return {at: state for at, state in states.items() if state is not None}


def _propose(desk: Desk, cards: CardsOf) -> None:
    """Propose the cards of the policy in hand."""
    with st.expander("Propose these cards", key="propose open"), st.form("propose", border=False):
        by = _who("Proposed by", "propose by")
        why = st.text_input("Why, in a line", max_chars=300, key="propose why")
        if st.form_submit_button("Propose"):
            scenario = StoredWorks(desk.digest, desk.works.name, to_yaml(desk.works))
            number = propose(store(), Proposed(scenario, cards.policy, cards.numbers, by, why))
            st.toast(f"Kept as proposal {number}.")
            st.rerun()


def _approve(desk: Desk, known: Sequence[Approval]) -> None:
    """Look at what is proposed, and approve it."""
    waiting = {_called(each): each for each in known if each.revision is None}
    if not waiting:
        return
    with st.expander("Approve a proposal", key="approve open"):
        chosen = waiting[pick(desk, "proposal", "Proposal", list(waiting))]
        if chosen.works != desk.digest:
            note("It was made from another scenario than the one on the desk. Its own cards:")
        offer(desk, f"cards of proposal {chosen.number}", partial(_proposed_cards, chosen, desk.system), has_words=True)
        _approval_form(chosen)


def _approval_form(chosen: Approval) -> None:
    """Who approves, from when, until when it is looked at again."""
    today = date.today()  # noqa: DTZ011 - the day of whoever looks
    with st.form(f"approve {chosen.number}", border=False):
        by = _who("Approved by", "approve by")
        left, right = st.columns(2)
        start = left.date_input("Holds from", today, min_value=today, key="approve from")
        review = right.date_input("To be reviewed", today + timedelta(days=_REVIEW_AFTER_DAYS), key="approve review")
        note("From that day on it takes the place of what was approved before; it cannot be taken back, only replaced.")
        if st.form_submit_button("Approve"):
            done = approve(store(), chosen.number, by, start, review)
            before = "" if done.replaces is None else f" in place of revision {done.replaces}"
            st.toast(f"Revision {done.revision} holds from {done.valid_from}{before}.")
            st.rerun()


def _called(each: Approval) -> str:
    return f'{each.number}: "{short(each.policy, 60)}", proposed by {short(each.proposed_by, 40)}'


def _proposed_cards(chosen: Approval, system: System) -> Carried:
    """Made anew from the scenario that the store kept with the proposal."""
    stored = store().works(chosen.works)
    assert stored is not None  # a proposal's scenario is not pruned
    works = works_from_text(stored.text, f"proposal {chosen.number}")
    cards = tool_cards(works, chosen.policy)
    return _cards_carried(cards, works, _states_of(cards, [chosen]), system)


def _who(words: str, key: str) -> str:
    """Who has signed in, else a name to be typed."""
    if name := shown_name():
        st.caption(f"{words} {in_markdown(short(name, LONGEST_PERSON))}")
        return short(name, LONGEST_PERSON)
    return st.text_input(words, max_chars=LONGEST_PERSON, key=key)


def _tell(known: Sequence[Approval]) -> None:
    """Whether a card in somebody's hand still holds."""
    typed = st.text_input("Number of a card in your hand", placeholder="12AB-34CD", max_chars=20, key="card in hand")
    if typed.strip():
        today = date.today()  # noqa: DTZ011 - the day of whoever looks
        for at, state in states_of_card(known, typed, today):
            (st.success if state.is_in_force else st.warning)(in_markdown(f"{at}: {state.words}", 300))
