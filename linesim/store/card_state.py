"""How a card stands to what has been approved: which approval it carries, or what has taken its place."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date

from linesim.errors import StoreError
from linesim.store.approvals import Approval, in_force
from linesim.words import keep

__all__ = ["CardState", "card_state", "states_of_card"]


@dataclass(frozen=True)
class CardState:
    """How a card stands on a day.

    Attributes
    ----------
    approval : Approval or None
        That it carries.
    words : str
        In a sentence.
    is_in_force : bool
        Whether it may hang at the machine.
    """

    approval: Approval | None
    words: str
    is_in_force: bool


def card_state(known: Sequence[Approval], works_name: str, place: str, card: str, day: date) -> CardState | None:
    """How a card stands.

    Parameters
    ----------
    known : sequence of Approval
        All that the store has.
    works_name : str
        Of which works the card is.
    place : str
        "line / operation".
    card : str
        Its number.
    day : datetime.date
        When it is asked.

    Returns
    -------
    CardState or None
        None where nothing has been proposed for the works.
    """
    own = [each for each in known if each.works_name == works_name]
    if not own:
        return None
    force = in_force(own, works_name, day)
    if force is not None and force.cards.get(place) == card:
        return CardState(force, _in_force(force, day), True)
    carrying = [each for each in own if each.cards.get(place) == card]
    approved = [each for each in carrying if each.revision is not None]
    coming = [each for each in approved if each.valid_from is not None and each.valid_from > day]
    if coming:
        last = coming[-1]
        words = keep("approval.coming", revision=last.revision, day=_day(last.valid_from))
        return CardState(last, words, False)
    return CardState(approved[-1] if approved else None, _not_in_force(carrying, bool(approved), force, place), False)


def states_of_card(known: Sequence[Approval], card: str, day: date) -> list[tuple[str, CardState]]:
    """How a card in somebody's hand stands, wherever it may hang.

    Parameters
    ----------
    known : sequence of Approval
        All that is looked through.
    card : str
        Its number as it was typed.
    day : datetime.date
        When it is asked.

    Returns
    -------
    list of (str, CardState)
        "line / operation" and how it stands there.

    Raises
    ------
    StoreError
        No such card was ever proposed.
    """
    wanted = card.strip().upper()
    of = dict.fromkeys((each.works_name, at) for each in known for at, number in each.cards.items() if number == wanted)
    states = [(at, card_state(known, name, at, wanted, day)) for name, at in of]
    if not states:
        raise StoreError(f"no card {card[:40]!r} was ever proposed; a number such as 12AB-34CD was expected")
    return [(at, state) for at, state in states if state is not None]


def _not_in_force(carrying: Sequence[Approval], was_approved: bool, force: Approval | None, place: str) -> str:
    """A card that may not hang at the machine, and what does instead."""
    if was_approved and force is not None:
        text = keep("approval.replaced", revision=force.revision, day=_day(force.valid_from))
    elif carrying:
        last = carrying[-1]
        text = keep("approval.proposed", who=last.proposed_by, number=last.number)
    else:
        text = keep("approval.not_approved")
    if force is None:
        return text
    if place not in force.cards:
        instead = keep("approval.no_card", revision=force.revision)
    else:
        key = "approval.holds" if was_approved else "approval.holds_of"
        instead = keep(key, card=force.cards[place], revision=force.revision)
    return keep("approval.with_instead", text=text, instead=instead)


def _in_force(force: Approval, day: date) -> str:
    """That a card is approved, and whether its review is overdue."""
    is_due = force.review is not None and force.review <= day
    key = "approval.review_due" if is_due else "approval.in_force"
    own = {"revision": force.revision, "day": _day(force.valid_from)}
    return keep(key, review=_day(force.review), **own) if is_due else keep(key, **own)


def _day(day: date | None) -> str:
    """A day as its reader writes it."""
    return "" if day is None else keep("format.date", year=day.year, month=day.month, day=day.day)
