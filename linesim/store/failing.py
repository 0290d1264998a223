"""What a database says when it fails, in words that help."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager

from sqlalchemy.exc import DBAPIError, SQLAlchemyError

from linesim.errors import StoreError, without_password

__all__ = ["AwayError", "DamagedError", "damaged", "meaning", "telling"]

_SAFE = "every run that was kept before is safe; the same study goes on from there when it is started again"


class DamagedError(StoreError):
    """The store does not say what was written into it."""


class AwayError(StoreError):
    """The server has ended the connection, or does not answer; it may well come back."""


_DAMAGE = ("malformed", "not a database", "could not decode", "disk image", "file is encrypted")
_AWAY = (
    "connection", "shutting down", "starting up", "recovery mode", "terminating", "could not receive",
    "timeout expired",
)  # fmt: skip
_WORDS = (
    ("disk is full", f"the disk is full; make room: {_SAFE}"),
    ("no space left", f"the disk of the server is full; make room: {_SAFE}"),
    ("readonly", "it cannot be written to; change the rights, or name another file with --store"),
    ("read-only", "it cannot be written to; change the rights, or name another one with --store"),
    ("locked", f"another program has been writing to it for very long; {_SAFE}"),
    ("unable to open", "the file cannot be opened; see whether its folder can be written to, or name another file"),
    ("disk i/o error", f"the disk cannot be read or written; {_SAFE}"),
    ("password", "the server does not accept this user and password"),
    ("authentication", "the server does not accept this user and password"),
    ("does not exist", "the server does not know this database, user or table; make it first, or correct the URL"),
    ("permission denied", "the user has no right to make tables or write in this database"),
)
"""Words by which a failure is known, and what it means; the first that fits counts."""


def damaged(location: str, what: str) -> DamagedError:
    """The one wording for damage: what was seen, that it is left alone, and the ways out.

    Parameters
    ----------
    location : str
        The store.
    what : str
        What was seen of it.
    """
    return DamagedError(
        f"{location} is damaged: {what}. Nothing more is written to it. To see what is whole: linesim runs check; to "
        "put all that can be read into a new store: linesim runs rescue NEW. Or put a copy of it back, or name another "
        "store with --store"
    )


def meaning(error: SQLAlchemyError, location: str) -> StoreError:
    """The error of a database as one of the store; no address with a password, and no statement, stands in it."""
    own = str(getattr(error, "orig", None) or error).strip()
    first = without_password(own.splitlines()[0])[:200] if own else type(error).__name__
    lower = own.lower()
    if any(word in lower for word in _DAMAGE):
        return damaged(location, first)
    for word, words in _WORDS:
        if word in lower:
            return StoreError(f"{location}: {words} ({first})")
    if (isinstance(error, DBAPIError) and error.connection_invalidated) or any(word in lower for word in _AWAY):
        return AwayError(f"{location}: the server cannot be reached, or has ended the connection; {_SAFE} ({first})")
    return StoreError(f"{location}: the database has refused ({first})")


@contextmanager
def telling(location: str) -> Iterator[None]:
    """Let failures of the database come out as errors of the store."""
    try:
        yield
    except SQLAlchemyError as error:
        raise meaning(error, location) from error
