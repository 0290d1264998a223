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
from dashboard.parts.said import label
from dashboard.parts.show import answer, note, table
from dashboard.parts.who import shown_name
from linesim.cards import CardsOf, tool_cards
from linesim.errors import StoreError
from linesim.report.page.cards_page import Printed, Signatures, cards_page
from linesim.report.terminal.approvals import revision_words
from linesim.report.theme.safe import in_markdown, short
from linesim.report.theme.shown import System
from linesim.report.views import office as view
from linesim.store import StoredWorks
from linesim.store.approvals import LONGEST_PERSON, Approval, Proposed, approvals_in, approve, propose
from linesim.store.card_state import CardState, card_state, states_of_card
from linesim.words import keep, say
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
    folded(say("cards.fold"), "tool-change cards", partial(_cards_offered, desk, policy))


def _cards_offered(desk: Desk, policy: str) -> None:
    st.caption(label("cards.explained"))
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
    answer(say("cards.holding", holding=holding, cards=len(cards.numbers), policy=policy), holding == 0)
    offer(desk, "tool-change-cards", partial(_cards_now, desk, policy), has_words=True)
    table(view.cards_sheet(desk.works, cards.numbers, states), "cards")
    st.header(label("approval.title"), anchor=False)
    if known is None:
        note(say("approval.not_kept"))
        return
    if known:
        today = date.today()  # noqa: DTZ011 - the day of whoever looks
        table(view.approvals_sheet(known, desk.works.name, today), "approvals")
    note(say("approval.kept"))
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
    with st.expander(label("approval.propose_cards"), key="propose open"), st.form("propose", border=False):
        by = _who(label("cards.proposed_by"), "propose by")
        why = st.text_input(label("approval.why_line"), max_chars=300, key="propose why")
        if st.form_submit_button(label("approval.propose"), key="propose"):
            scenario = StoredWorks(desk.digest, desk.works.name, to_yaml(desk.works))
            number = propose(store(), Proposed(scenario, cards.policy, cards.numbers, by, why))
            st.toast(label("approval.kept_as", number=number))
            st.rerun()


def _approve(desk: Desk, known: Sequence[Approval]) -> None:
    """Look at what is proposed, and approve it."""
    waiting = {_called(each): each for each in known if each.revision is None}
    if not waiting:
        return
    with st.expander(label("approval.approve_one"), key="approve open"):
        chosen = waiting[pick(desk, "proposal", say("approval.proposal"), list(waiting))]
        if chosen.works != desk.digest:
            note(say("approval.other_scenario"))
        offer(desk, f"cards of proposal {chosen.number}", partial(_proposed_cards, chosen, desk.system), has_words=True)
        _approval_form(chosen)


def _approval_form(chosen: Approval) -> None:
    """Who approves, from when, until when it is looked at again."""
    today = date.today()  # noqa: DTZ011 - the day of whoever looks
    with st.form(f"approve {chosen.number}", border=False):
        by = _who(label("cards.approved_by"), "approve by")
        left, right = st.columns(2)
        start = left.date_input(label("approval.holds_from"), today, min_value=today, key="approve from")
        later = today + timedelta(days=_REVIEW_AFTER_DAYS)
        review = right.date_input(label("cards.review"), later, key="approve review")
        note(say("approval.from_then"))
        if st.form_submit_button(label("approval.approve"), key=f"approve it {chosen.number}"):
            done = approve(store(), chosen.number, by, start, review)
            st.toast(in_markdown(revision_words(done), 300))
            st.rerun()


def _called(each: Approval) -> str:
    policy, who = short(each.policy, 60), short(each.proposed_by, 40)
    return keep("approval.called", number=each.number, policy=policy, who=who)


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
    typed = st.text_input(label("approval.in_hand"), placeholder="12AB-34CD", max_chars=20, key="card in hand")
    if typed.strip():
        today = date.today()  # noqa: DTZ011 - the day of whoever looks
        for at, state in states_of_card(known, typed, today):
            (st.success if state.is_in_force else st.warning)(
                in_markdown(say("approval.at", at=at, state=state.words), 300)
            )
