"""How a card stands to what has been approved: which approval it carries, or what has taken its place."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date

from linesim.errors import StoreError
from linesim.store.approvals import Approval, in_force

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
        until = "" if force.review is None or force.review > day else f"; its review was due on {force.review}"
        return CardState(force, f"Approved: revision {force.revision}, from {force.valid_from}{until}.", True)
    carrying = [each for each in own if each.cards.get(place) == card]
    approved = [each for each in carrying if each.revision is not None]
    coming = [each for each in approved if each.valid_from is not None and each.valid_from > day]
    if coming:
        last = coming[-1]
        return CardState(last, f"Not yet in force: revision {last.revision} holds from {last.valid_from}.", False)
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
    if force is None:
        instead = ""
    elif place in force.cards:
        of = "" if was_approved else f" of revision {force.revision}"
        instead = f" Card {force.cards[place]}{of} holds."
    else:
        instead = f" Under revision {force.revision} there is no card here."
    if was_approved and force is not None:
        return f"This card is replaced by revision {force.revision} of {force.valid_from}.{instead}"
    if carrying:
        last = carrying[-1]
        return f"Not approved: proposed by {last.proposed_by} as number {last.number}.{instead}"
    return f"Not approved.{instead}"
