"""Shifts that are over and can be looked back on."""

from __future__ import annotations

from sqlalchemy import select

from linesim.store.schema import shifts
from linesim.store.store import Store

__all__ = ["ended_shifts"]


def ended_shifts(store: Store) -> dict[tuple[str, str], str]:
    """The last shift of each trainee and lesson that is over and still kept.

    Parameters
    ----------
    store : Store
        Where.

    Returns
    -------
    dict
        Keys of shifts by nickname and lesson.
    """
    query = select(shifts.c.nickname, shifts.c.lesson, shifts.c.key).where(
        shifts.c.is_over, shifts.c.nickname.is_not(None)
    )
    with store.reading() as connection:
        rows = connection.execute(query.order_by(shifts.c.day)).all()
    return {(str(nickname), str(lesson)): str(key) for nickname, lesson, key in rows}
