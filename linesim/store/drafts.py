"""What was typed at a seat of a desk and cannot be read yet: kept until it can be, or is given up."""

from __future__ import annotations

from dataclasses import dataclass

from sqlalchemy import delete, insert, select

from linesim.store.desk_rows import GoneError
from linesim.store.patience import patient
from linesim.store.schema import desk_drafts, desk_versions, desks
from linesim.store.store import Store
from linesim.store.studies import now
from linesim.store.sums import summed

__all__ = ["KeptDraft", "draft_at", "drop_draft", "is_seat_of", "keep_draft"]


@dataclass(frozen=True)
class KeptDraft:
    """Sheets as they were typed.

    Attributes
    ----------
    cells : str
        All cells of all sheets, as a JSON object.
    since : str
        Digest of the scenario from which they set out.
    is_inch : bool
        Whether figures stand in inches.
    """

    cells: str
    since: str
    is_inch: bool


@patient
def keep_draft(store: Store, desk: str, seat: str, draft: KeptDraft) -> None:
    """Keep what was typed, in place of what was kept at this seat before.

    Parameters
    ----------
    store : Store
        Where.
    desk : str
        Key of the desk.
    seat : str
        Digest of the seat.
    draft : KeptDraft
        What was typed.

    Raises
    ------
    GoneError
        There is no such desk.
    """
    row = {"desk": desk, "seat": seat, "cells": draft.cells, "since": draft.since, "is_inch": draft.is_inch}
    with store.writing() as connection:
        if connection.execute(select(desks.c.key).where(desks.c.key == desk)).first() is None:
            raise GoneError("this desk is not in the store any more; somebody has taken it away")
        connection.execute(delete(desk_drafts).where(desk_drafts.c.desk == desk, desk_drafts.c.seat == seat))
        connection.execute(insert(desk_drafts).values(summed(row | {"made_at": now()})))


@patient
def draft_at(store: Store, desk: str, seat: str) -> KeptDraft | None:
    """What was typed at a seat and could not be read; None if there is nothing of the kind."""
    asked = select(desk_drafts).where(desk_drafts.c.desk == desk, desk_drafts.c.seat == seat)
    with store.reading() as connection:
        row = connection.execute(asked).mappings().one_or_none()
        if row is None:
            return None
        own = store.checked(desk_drafts, dict(row))
        return KeptDraft(own["cells"], own["since"], bool(own["is_inch"]))


@patient
def drop_draft(store: Store, desk: str, seat: str) -> None:
    """Keep nothing of what was typed at a seat any more."""
    with store.writing() as connection:
        connection.execute(delete(desk_drafts).where(desk_drafts.c.desk == desk, desk_drafts.c.seat == seat))


@patient
def is_seat_of(store: Store, desk: str, seat: str) -> bool:
    """Whether anything was done or typed at a seat of a desk."""
    with store.reading() as connection:
        return any(
            connection.execute(select(table.c.desk).where(table.c.desk == desk, table.c.seat == seat).limit(1)).first()
            for table in (desk_versions, desk_drafts)
        )
