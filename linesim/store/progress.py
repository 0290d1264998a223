"""Trainees' progress in the store: what a nickname has played and passed, and shifts that are in somebody's hands.

A nickname is whatever the trainee calls himself; no name, number, address or clock time of a person is kept beside it,
and all of it goes when it is asked for. The day of a shift is kept, so that an instructor sees progress. A shift that
is over, or that is under no nickname, goes by itself after `KEPT_DAYS`.
"""

from __future__ import annotations

import datetime as dt
import json
import secrets
from collections.abc import Mapping
from dataclasses import dataclass, replace
from typing import Any

from sqlalchemy import Connection, Delete, RowMapping, delete, insert, or_, select, union, update

from linesim.errors import StoreError, quoted
from linesim.store.names import one_line
from linesim.store.schema import LONGEST_NICKNAME
from linesim.store.schema import attempts as attempts_table
from linesim.store.schema import shifts as shifts_table
from linesim.store.store import Store
from linesim.store.sums import summed

__all__ = [
    "KEPT_DAYS", "LONGEST_NICKNAME", "Attempt", "OpenShift", "attempts", "delete_trainee", "ended_shift", "keep_shift",
    "kept_shift", "new_shift", "nickname_from", "note_attempt", "open_shift_of", "open_shifts", "trainees",
]  # fmt: skip

KEPT_DAYS = 30
"""How long a shift that is over, or under no nickname, can be looked at again."""


@dataclass(frozen=True)
class Attempt:
    """One shift that a trainee has played to its end.

    Attributes
    ----------
    nickname, lesson : str
        Who, and which lesson by its key.
    shift : int
        Number of the shift.
    day : datetime.date
        When.
    is_passed : bool
        Whether the pass mark was reached.
    earned : float
        What the shift earned, in the lesson's currency.
    share_of_best : float or None
        The same over what the best found policy earned; None where that earned nothing.
    decisions, steps_back : int
        Decisions taken, and steps taken back.
    """

    nickname: str
    lesson: str
    shift: int
    day: dt.date
    is_passed: bool
    earned: float
    share_of_best: float | None
    decisions: int
    steps_back: int


@dataclass(frozen=True)
class OpenShift:
    """A shift in somebody's hands, as it is kept.

    Attributes
    ----------
    key : str
        Under which it is found; nobody can guess it.
    nickname : str or None
        Whose it is, if a nickname was given.
    lesson : str
        Which lesson, by its key.
    day : datetime.date
        When it was last gone on with.
    step : int
        How often it has been kept; whoever goes on with it has to know the last one.
    is_over : bool
        Whether it has been played to its end.
    kept : dict
        What `linesim.training.Shift.kept` gave.
    """

    key: str
    nickname: str | None
    lesson: str
    day: dt.date
    step: int
    is_over: bool
    kept: dict[str, Any]


def nickname_from(text: str) -> str:
    """A nickname as it is kept: trimmed, in one form, one line.

    Raises
    ------
    StoreError
        It is empty, too long, or holds signs that cannot be shown.

    >>> nickname_from("  Till ")
    'Till'
    """
    name = one_line(text, LONGEST_NICKNAME)
    if not name:
        raise StoreError(f"{quoted(text)} cannot be a nickname; 1 to {LONGEST_NICKNAME} plain signs were expected")
    return name


# --- shifts in somebody's hands --------------------------------------------------------------------------------------


def new_shift(store: Store, lesson: str, stored: Mapping[str, Any], nickname: str | None = None) -> OpenShift:
    """Keep a shift that has just begun, under a key of its own.

    Parameters
    ----------
    store : Store
        Where.
    lesson : str
        Which lesson, by its key.
    stored : mapping
        Plain values, fit for JSON.
    nickname : str, optional
        Whose it is.

    Raises
    ------
    StoreError
        It cannot be kept.
    """
    name = None if nickname is None else nickname_from(nickname)
    shift = OpenShift(secrets.token_urlsafe(16), name, lesson, _today(), 0, is_over=False, kept=dict(stored))
    with store.writing() as connection:
        connection.execute(_stale())
        connection.execute(insert(shifts_table).values(**_row(shift)))
    return shift


def keep_shift(store: Store, shift: OpenShift, stored: Mapping[str, Any]) -> OpenShift:
    """Keep a shift as it stands now, in place of how it stood before.

    Parameters
    ----------
    store : Store
        Where.
    shift : OpenShift
        As it was kept last.
    stored : mapping
        As it stands now.

    Returns
    -------
    OpenShift
        As it is kept now.

    Raises
    ------
    StoreError
        It has gone on elsewhere since, so that nothing of it may be overwritten; or it cannot be kept.
    """
    now = replace(shift, step=shift.step + 1, day=_today(), kept=dict(stored))
    with store.writing() as connection:
        _put(connection, store, shift, now)
    return now


def kept_shift(store: Store, key: str) -> OpenShift | None:
    """A shift by its key; None if there is none."""
    with store.reading() as connection:
        row = connection.execute(select(shifts_table).where(shifts_table.c.key == key)).mappings().one_or_none()
    return None if row is None else _shift(store, row)


def open_shifts(store: Store, nickname: str) -> list[OpenShift]:
    """Shifts of a trainee that are not over, the last gone on with first."""
    query = select(shifts_table).where(shifts_table.c.nickname == nickname_from(nickname), ~shifts_table.c.is_over)
    with store.reading() as connection:
        answer = [_shift(store, row) for row in connection.execute(query).mappings()]
    return sorted(answer, key=lambda shift: (shift.day, shift.step), reverse=True)


def open_shift_of(store: Store, nickname: str, lesson: str) -> OpenShift | None:
    """The shift of a lesson that a trainee has not ended; None if there is none."""
    return next((shift for shift in open_shifts(store, nickname) if shift.lesson == lesson), None)


# --- shifts played ---------------------------------------------------------------------------------------------------


def ended_shift(store: Store, shift: OpenShift, stored: Mapping[str, Any], attempt: Attempt | None = None) -> OpenShift:
    """Keep a shift that has come to its end, and note the attempt with it; once, however often it is said.

    Parameters
    ----------
    store : Store
        Where.
    shift : OpenShift
        As it was kept last.
    stored : mapping
        As it stands at its end.
    attempt : Attempt, optional
        What is noted under the nickname; none for a shift without one.

    Raises
    ------
    StoreError
        It has gone on elsewhere since; or it cannot be kept.
    """
    if shift.is_over:
        return shift
    now = replace(shift, step=shift.step + 1, day=_today(), is_over=True, kept=dict(stored))
    with store.writing() as connection:
        _put(connection, store, shift, now)
        if attempt is not None:
            connection.execute(insert(attempts_table).values(**_attempt_row(attempt)))
    return now


def note_attempt(store: Store, attempt: Attempt) -> None:
    """Note a shift that was played to its end without being kept on the way."""
    with store.writing() as connection:
        connection.execute(insert(attempts_table).values(**_attempt_row(attempt)))


def attempts(store: Store, nickname: str | None = None) -> list[Attempt]:
    """Shifts played, in the order in which they were; of one trainee or of all."""
    query = select(attempts_table).order_by(attempts_table.c.number)
    if nickname is not None:
        query = query.where(attempts_table.c.nickname == nickname_from(nickname))
    with store.reading() as connection:
        rows = [store.checked(attempts_table, dict(row)) for row in connection.execute(query).mappings()]
    return [Attempt(**{name: row[name] for name in Attempt.__dataclass_fields__}) for row in rows]


# --- trainees --------------------------------------------------------------------------------------------------------


def trainees(store: Store) -> list[str]:
    """All nicknames of which anything is kept."""
    of_shifts = select(shifts_table.c.nickname).where(shifts_table.c.nickname.is_not(None))
    with store.reading() as connection:
        return sorted(connection.execute(union(select(attempts_table.c.nickname), of_shifts)).scalars())


def delete_trainee(store: Store, nickname: str) -> int:
    """Delete everything that is kept of a nickname; returns how many entries went."""
    name = nickname_from(nickname)
    with store.writing() as connection:
        tables = (attempts_table, shifts_table)
        return sum(connection.execute(delete(table).where(table.c.nickname == name)).rowcount for table in tables)


# --- how -------------------------------------------------------------------------------------------------------------


def _today() -> dt.date:
    return dt.date.today()  # noqa: DTZ011 - the trainee's own day


def _put(connection: Connection, store: Store, before: OpenShift, now: OpenShift) -> None:
    """Put a shift in place of how it stood, if that is how it stands."""
    table = shifts_table
    of_it = update(table).where(table.c.key == before.key, table.c.step == before.step, ~table.c.is_over)
    if connection.execute(of_it.values(**_row(now))).rowcount != 1:
        raise StoreError(
            f"{store.location}: this shift has gone on elsewhere since, or was deleted; nothing was overwritten. Open "
            "it again to go on from where it stands now"
        )


def _stale() -> Delete:
    """Shifts that nobody will look at again."""
    oldest = _today() - dt.timedelta(days=KEPT_DAYS)
    table = shifts_table
    return delete(table).where(table.c.day < oldest, or_(table.c.is_over, table.c.nickname.is_(None)))


def _row(shift: OpenShift) -> dict[str, Any]:
    return summed(vars(shift) | {"kept": json.dumps(shift.kept, allow_nan=False)})


def _shift(store: Store, row: RowMapping) -> OpenShift:
    store.checked(shifts_table, dict(row))
    values = {name: row[name] for name in OpenShift.__dataclass_fields__}
    return OpenShift(**values | {"kept": dict(json.loads(row["kept"]))})


def _attempt_row(attempt: Attempt) -> dict[str, Any]:
    share = None if attempt.share_of_best is None else float(attempt.share_of_best)
    figures = {"earned": float(attempt.earned), "share_of_best": share}
    return summed(vars(attempt) | figures | {"nickname": nickname_from(attempt.nickname)})
