"""Trainees' progress: what a nickname has played and passed, and shifts not over yet; nothing else of a person.

A nickname is whatever the trainee calls himself; no name, number, address or clock time of a person is kept beside it,
and all of it goes when it is asked for. The day of a shift is kept, so that an instructor sees progress.
"""

from __future__ import annotations

import datetime as dt
import json
import unicodedata
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

import sqlalchemy as sa

from linesim.errors import LinesimError, said

__all__ = [
    "LONGEST_NICKNAME", "PROGRESS", "Attempt", "ProgressError", "attempts", "define_progress", "delete_trainee",
    "keep_shift", "kept_shift", "note_attempt", "open_progress", "trainees",
]  # fmt: skip

LONGEST_NICKNAME = 40
"""Signs."""


class ProgressError(LinesimError):
    """Progress cannot be kept or found."""


@dataclass(frozen=True)
class Tables:
    """The tables of trainees' progress."""

    attempts: sa.Table
    open_shifts: sa.Table


def define_progress(metadata: sa.MetaData) -> Tables:
    """Define the tables of progress in the metadata of a store."""
    attempts = sa.Table(
        "training_attempt",
        metadata,
        sa.Column("id", sa.Integer, primary_key=True),
        sa.Column("nickname", sa.String(LONGEST_NICKNAME), nullable=False, index=True),
        sa.Column("lesson", sa.String(200), nullable=False),
        sa.Column("shift", sa.Integer, nullable=False),
        sa.Column("day", sa.Date, nullable=False),
        sa.Column("is_passed", sa.Boolean, nullable=False),
        sa.Column("earned", sa.Float, nullable=False),
        sa.Column("share_of_best", sa.Float),
        sa.Column("decisions", sa.Integer, nullable=False),
        sa.Column("steps_back", sa.Integer, nullable=False),
    )
    open_shifts = sa.Table(
        "training_open_shift",
        metadata,
        sa.Column("nickname", sa.String(LONGEST_NICKNAME), primary_key=True),
        sa.Column("lesson", sa.String(200), primary_key=True),
        sa.Column("kept", sa.Text, nullable=False),
    )
    return Tables(attempts, open_shifts)


_METADATA = sa.MetaData()
PROGRESS = define_progress(_METADATA)
"""The tables in a metadata of their own, for a store that holds nothing else."""


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


def open_progress(url: str) -> sa.Engine:
    """Open a database for progress, and make the tables if they are not there.

    Parameters
    ----------
    url : str
        As SQLAlchemy takes it, such as ``sqlite:///training.db``.

    Raises
    ------
    ProgressError
        It cannot be opened.
    """
    try:
        engine = sa.create_engine(url)
        _METADATA.create_all(engine)
    except (sa.exc.SQLAlchemyError, ImportError) as error:
        reason = str(getattr(error, "orig", None) or error).splitlines()[0]
        shown = url.partition("@")[2] or url
        raise ProgressError(f"the database {said(shown)} cannot be opened: {reason}") from error
    return engine


def nickname_from(text: str) -> str:
    """A nickname as it is kept: trimmed, in one form, one line.

    Raises
    ------
    ProgressError
        It is empty, too long, or holds signs that cannot be shown.

    >>> nickname_from("  Till ")
    'Till'
    """
    name = " ".join(unicodedata.normalize("NFC", text).split())
    if not 1 <= len(name) <= LONGEST_NICKNAME or not name.isprintable():
        raise ProgressError(f"{said(text)} cannot be a nickname; 1 to {LONGEST_NICKNAME} plain signs were expected")
    return name


def note_attempt(engine: sa.Engine, attempt: Attempt) -> None:
    """Write down a shift that is over, and let go of what was kept of it while it was not."""
    row = vars(attempt) | {"nickname": nickname_from(attempt.nickname)}
    with engine.begin() as connection:
        connection.execute(sa.insert(PROGRESS.attempts).values(**row))
        connection.execute(_gone(PROGRESS.open_shifts, row["nickname"], attempt.lesson))


def attempts(engine: sa.Engine, nickname: str | None = None) -> list[Attempt]:
    """Shifts played, in the order in which they were; of one trainee or of all."""
    table = PROGRESS.attempts
    columns = [table.c[name] for name in Attempt.__dataclass_fields__]
    query = sa.select(*columns).order_by(table.c.id)
    if nickname is not None:
        query = query.where(table.c.nickname == nickname_from(nickname))
    with engine.connect() as connection:
        return [Attempt(**row) for row in connection.execute(query).mappings()]


def trainees(engine: sa.Engine) -> list[str]:
    """All nicknames of which anything is kept."""
    names = sa.union(sa.select(PROGRESS.attempts.c.nickname), sa.select(PROGRESS.open_shifts.c.nickname))
    with engine.connect() as connection:
        return sorted(connection.execute(names).scalars())


def keep_shift(engine: sa.Engine, nickname: str, lesson: str, kept: Mapping[str, Any]) -> None:
    """Keep a shift that is not over, in place of the one before of this lesson."""
    name = nickname_from(nickname)
    with engine.begin() as connection:
        connection.execute(_gone(PROGRESS.open_shifts, name, lesson))
        row = {"nickname": name, "lesson": lesson, "kept": json.dumps(dict(kept), allow_nan=False)}
        connection.execute(sa.insert(PROGRESS.open_shifts).values(**row))


def kept_shift(engine: sa.Engine, nickname: str, lesson: str) -> dict[str, Any] | None:
    """The shift of a lesson that a trainee has not ended; None if there is none."""
    table = PROGRESS.open_shifts
    query = sa.select(table.c.kept).where(table.c.nickname == nickname_from(nickname), table.c.lesson == lesson)
    with engine.connect() as connection:
        text = connection.execute(query).scalar()
    return None if text is None else dict(json.loads(text))


def delete_trainee(engine: sa.Engine, nickname: str) -> int:
    """Delete everything that is kept of a nickname; returns how many rows went."""
    name = nickname_from(nickname)
    with engine.begin() as connection:
        done = [
            connection.execute(sa.delete(table).where(table.c.nickname == name)).rowcount
            for table in (PROGRESS.attempts, PROGRESS.open_shifts)
        ]
    return sum(done)


def _gone(table: sa.Table, nickname: str, lesson: str) -> sa.Delete:
    """Delete a trainee's rows of one lesson."""
    return sa.delete(table).where(table.c.nickname == nickname, table.c.lesson == lesson)
