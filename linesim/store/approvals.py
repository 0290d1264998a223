"""Approvals in the store: who proposed the cards of a policy, who approved them, from when, and what they replaced.

A works, known by its name, has one row of approvals, numbered by their revision. What has been approved is never
changed again; a later revision takes its place from its own day on.
"""

from __future__ import annotations

import json
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, fields
from datetime import date
from typing import Any

from sqlalchemy import func, insert, select, update
from sqlalchemy.exc import IntegrityError

from linesim.errors import StoreError, quoted
from linesim.store.names import one_line
from linesim.store.patience import patient
from linesim.store.rows import StoredWorks
from linesim.store.schema import approvals
from linesim.store.store import Store
from linesim.store.studies import now
from linesim.store.sums import summed

__all__ = ["LONGEST_PERSON", "Approval", "Proposed", "approvals_in", "approve", "in_force", "propose"]

LONGEST_PERSON = 80
"""Signs of a person's name."""

_LONGEST_REASON = 400


@dataclass(frozen=True)
class Proposed:
    """What is proposed.

    Attributes
    ----------
    scenario : StoredWorks
        From which the cards are made.
    policy : str
        Under which.
    cards : mapping of str to str
        Number of each card, by line and operation, "line / operation".
    by, why : str
        Who proposes it, as a person has typed it; the reason, which may be empty.
    """

    scenario: StoredWorks
    policy: str
    cards: Mapping[str, str]
    by: str
    why: str = ""


@dataclass(frozen=True)
class Approval:
    """One proposal, approved or not.

    Attributes
    ----------
    number : int
        By which it is called.
    works, works_name, policy : str
        Digest and name of the scenario; the policy.
    cards : dict of str to str
        Number of each card by "line / operation".
    why, proposed_by, proposed_at : str
        Reason and name as typed; when, UTC, ISO 8601.
    approved_by, approved_at : str
        Empty until it is approved.
    valid_from, review : date or None
        From which day it holds, and when it is looked at again.
    revision : int or None
        Counted from 1 within its works; None until it is approved.
    replaces : int or None
        The revision that it takes the place of.
    """

    number: int
    works: str
    works_name: str
    policy: str
    cards: dict[str, str]
    why: str
    proposed_by: str
    proposed_at: str
    approved_by: str
    approved_at: str
    valid_from: date | None
    review: date | None
    revision: int | None
    replaces: int | None


@patient
def propose(store: Store, asked: Proposed) -> int:
    """Keep a proposal.

    Returns
    -------
    int
        Its number.

    Raises
    ------
    StoreError
        The name cannot be one, or the store cannot be written.
    """
    row = {
        "works": asked.scenario.digest,
        "works_name": asked.scenario.name,
        "policy": asked.policy,
        "cards": json.dumps(dict(asked.cards)),
        "why": _reason(asked.why),
        "proposed_by": _person(asked.by),
        "proposed_at": now(),
        "approved_by": "",
        "approved_at": "",
    }
    with store.writing() as connection:
        store.put_works(connection, asked.scenario)
        done = connection.execute(insert(approvals).values(summed(row)))
        assert done.inserted_primary_key is not None
        return int(done.inserted_primary_key[0])


@patient
def approve(store: Store, number: int, by: str, valid_from: date, review: date | None = None) -> Approval:
    """Approve a proposal; from its day on it takes the place of what was approved before.

    Parameters
    ----------
    store : Store
        Where.
    number : int
        Of the proposal.
    by : str
        Who approves it.
    valid_from, review : datetime.date
        From which day it holds, and when it is looked at again.

    Returns
    -------
    Approval

    Raises
    ------
    StoreError
        There is no such proposal, it is approved already, a date or the name cannot be, or somebody else has approved
        another one at the same time.
    """
    name = _person(by)
    if review is not None and review <= valid_from:
        raise StoreError(
            f"a review on {review} is not after {valid_from}, from when it holds; a later day was expected"
        )
    try:
        with store.writing() as connection:
            asked = select(approvals).where(approvals.c.number == number).with_for_update()
            row = connection.execute(asked).mappings().one_or_none()
            if row is None:
                raise StoreError(f"there is no proposal {number}; linesim approvals list shows those that there are")
            known = store.checked(approvals, dict(row))
            if known["revision"] is not None:
                raise StoreError(
                    f"proposal {number} is approved already, as revision {known['revision']} by {known['approved_by']}"
                )
            of_works = select(func.max(approvals.c.revision)).where(approvals.c.works_name == known["works_name"])
            last = connection.execute(of_works).scalar_one()
            known |= {
                "approved_by": name, "approved_at": now(), "valid_from": valid_from, "review": review,
                "revision": 1 + (last or 0), "replaces": last,
            }  # fmt: skip
            connection.execute(update(approvals).where(approvals.c.number == number).values(summed(known)))
    except IntegrityError as error:
        raise StoreError("somebody else has just approved another proposal; look at the list and try again") from error
    return _approval(known)


@patient
def approvals_in(store: Store, works_name: str | None = None) -> list[Approval]:
    """All proposals of a works, or of all of them, in the order in which they were made."""
    asked = select(approvals).order_by(approvals.c.number)
    if works_name is not None:
        asked = asked.where(approvals.c.works_name == works_name)
    with store.reading() as connection:
        return [_approval(store.checked(approvals, dict(row))) for row in connection.execute(asked).mappings()]


def in_force(known: Sequence[Approval], works_name: str, day: date) -> Approval | None:
    """The approval that holds on a day; None if none does.

    Parameters
    ----------
    known : sequence of Approval
        Of any works.
    works_name : str
        Of which.
    day : datetime.date
        When.
    """
    holding = list(_holding(known, works_name, day))
    return max(holding, key=lambda each: each.revision or 0, default=None)


def _holding(known: Sequence[Approval], works_name: str, day: date) -> Iterator[Approval]:
    for each in known:
        if each.works_name == works_name and each.valid_from is not None and each.valid_from <= day:
            yield each


def _approval(row: Mapping[str, Any]) -> Approval:
    values = {each.name: row[each.name] for each in fields(Approval)}
    return Approval(**values | {"cards": json.loads(values["cards"])})


def _person(text: str) -> str:
    """A person's name as it is kept: trimmed, in one form, one line."""
    name = one_line(text, LONGEST_PERSON)
    if not name:
        raise StoreError(f"{quoted(text[:100])} cannot be a name; 1 to {LONGEST_PERSON} plain signs were expected")
    return name


def _reason(text: str) -> str:
    reason = one_line(text, _LONGEST_REASON)
    if text.strip() and not reason:
        raise StoreError(f"the reason cannot be kept; up to {_LONGEST_REASON} plain signs on one line were expected")
    return reason
