"""What the store holds of desks, as plain values."""

from __future__ import annotations

from dataclasses import dataclass
from typing import NamedTuple

from linesim.errors import StoreError, quoted
from linesim.store.names import one_line
from linesim.store.rows import StoredWorks

__all__ = [
    "COPY", "LONGEST_NAME", "LOOK", "MOST_DESKS", "MOST_VERSIONS", "TOGETHER", "WAYS", "Change", "DeskVersion",
    "GoneError", "KeptDesk", "LedTo", "MovedOnError", "desk_name_from",
]  # fmt: skip

LOOK, COPY, TOGETHER = "look", "copy", "together"
WAYS = (LOOK, COPY, TOGETHER)
"""In which a link lets somebody take part: to see the desk, to take a copy of it, to change it."""

LONGEST_NAME = 80
"""Signs of a desk's name."""

MOST_DESKS = 200
"""Of one owner."""

MOST_VERSIONS = 500
"""Of one desk; the oldest go."""


class GoneError(StoreError):
    """There is no such desk, or not any more."""


class MovedOnError(StoreError):
    """Somebody else has written a version in the meantime."""


@dataclass(frozen=True)
class KeptDesk:
    """A desk as it is kept.

    Attributes
    ----------
    key : str
        Under which it is found; nobody can guess it.
    name, owner : str
        What it is called, and whose it is; the latter is empty where nobody is asked.
    works_name : str
        What the scenario of its newest version is called.
    version : int
        The newest one, counted from 1.
    begun_at, changed_at : str
        UTC, ISO 8601.
    """

    key: str
    name: str
    owner: str
    works_name: str
    version: int
    begun_at: str
    changed_at: str


@dataclass(frozen=True)
class Change:
    """What is written down as a version.

    Attributes
    ----------
    scenario : StoredWorks
        As it is after the change.
    origin : str
        Where the scenario came from, for people.
    words : str
        What was done.
    seat : str
        At which seat, by a digest of it.
    step : str
        By which this change is known, however often it is written.
    """

    scenario: StoredWorks
    origin: str
    words: str
    seat: str
    step: str


@dataclass(frozen=True)
class DeskVersion:
    """One version of a desk.

    Attributes
    ----------
    version : int
        Counted from 1.
    works : str
        Digest of its scenario.
    origin, words, seat : str
        As in `Change`.
    made_at : str
        UTC, ISO 8601.
    """

    version: int
    works: str
    origin: str
    words: str
    seat: str
    made_at: str


class LedTo(NamedTuple):
    """Where a key or a link leads: to which desk, and in what way; the way is empty for the desk's own key."""

    desk: KeptDesk
    way: str


def desk_name_from(text: str) -> str:
    """A desk's name as it is kept: trimmed, in one form, one line.

    Raises
    ------
    StoreError
        It is empty, too long, or holds signs that cannot be shown.

    >>> desk_name_from("  Two   blades ")
    'Two blades'
    """
    name = one_line(text, LONGEST_NAME)
    if not name:
        raise StoreError(f"{quoted(text[:100])} cannot name a desk; 1 to {LONGEST_NAME} plain signs were expected")
    return name
