"""What a database says when it fails, in words that help."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager

from sqlalchemy.exc import SQLAlchemyError

from linesim.errors import StoreError

__all__ = ["telling", "told"]

_KEPT = "every run that was kept before is safe; the same study goes on from there when it is started again"

_WORDS = (
    ("disk is full", f"the disk is full; make room: {_KEPT}"),
    ("no space left", f"the disk of the server is full; make room: {_KEPT}"),
    ("malformed", "the file is damaged and is left as it is; put a copy of it back, or name another file with --store"),
    ("not a database", "the file is no store, or is damaged, and is left as it is; name another file with --store"),
    ("readonly", "it cannot be written to; change the rights, or name another file with --store"),
    ("read-only", "it cannot be written to; change the rights, or name another place with --store"),
    ("locked", f"another program has been writing to it for very long; {_KEPT}"),
    ("unable to open", "the file cannot be opened; see whether its folder can be written to, or name another file"),
    ("disk i/o error", f"the disk cannot be read or written; {_KEPT}"),
    ("password", "the server does not accept this user and password"),
    ("authentication", "the server does not accept this user and password"),
    ("does not exist", "the server does not know this database, user or table; make it first, or correct the URL"),
    ("connection", f"the server cannot be reached, or has ended the connection; {_KEPT}"),
    ("permission denied", "the user has no right to make tables or write in this database"),
)
"""Words by which a failure is known, and what is said of it; the first that fits counts."""


def told(error: SQLAlchemyError, place: str) -> StoreError:
    """The error of a database as one of the store; no address with a password, and no statement, stands in it."""
    said = str(getattr(error, "orig", None) or error).strip()
    first = said.splitlines()[0][:200] if said else type(error).__name__
    words = next((words for part, words in _WORDS if part in said.lower()), "the database has refused")
    return StoreError(f"{place}: {words} ({first})")


@contextmanager
def telling(place: str) -> Iterator[None]:
    """Let failures of the database come out as errors of the store."""
    try:
        yield
    except SQLAlchemyError as error:
        raise told(error, place) from error
