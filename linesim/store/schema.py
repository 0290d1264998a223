"""Tables of the store, and the steps that bring an older store up to date.

Each step lifts the schema by one. To add a table: describe it here on `METADATA`, add a function that creates it to
`STEPS`, and leave the steps before as they are, because stores of users have gone through them.
"""

from __future__ import annotations

from collections.abc import Callable

from sqlalchemy import (
    BigInteger,
    Boolean,
    Column,
    Connection,
    Date,
    Float,
    ForeignKey,
    Index,
    Integer,
    MetaData,
    String,
    Table,
    Text,
    UniqueConstraint,
    inspect,
)  # fmt: skip

__all__ = [
    "LONGEST_NICKNAME", "METADATA", "NEWEST", "STEPS", "approvals", "attempts", "desk_drafts", "desk_links",
    "desk_versions", "desks", "marks", "runs", "shifts", "studies", "study_runs", "works",
]  # fmt: skip

LONGEST_NICKNAME = 40
"""Signs."""

METADATA = MetaData()
"""All tables; their names begin with ``linesim_``, as a PostgreSQL database may hold others."""

_DIGEST = String(64)
_MOMENT = String(32)
_Number = BigInteger().with_variant(Integer, "sqlite")


def _row_sum() -> Column[str]:
    """Sum of the row, as `linesim.store.sums` makes it; null in a row that was kept before schema 3."""
    return Column("row_sum", String(16))


marks = Table(
    "linesim_store",
    METADATA,
    Column("schema_version", Integer, primary_key=True, autoincrement=False),
    Column("made_by", String(64), nullable=False),
    Column("made_at", _MOMENT, nullable=False),
)
"""One row for each step that the store has gone through."""

works = Table(
    "linesim_works",
    METADATA,
    Column("digest", _DIGEST, primary_key=True),
    Column("name", Text, nullable=False),
    Column("text", Text, nullable=False),
    Column("kept_at", _MOMENT, nullable=False),
    _row_sum(),
)

runs = Table(
    "linesim_runs",
    METADATA,
    Column("key", _DIGEST, primary_key=True),
    Column("works", _DIGEST, ForeignKey("linesim_works.digest"), nullable=False),
    Column("policy", Text, nullable=False),
    Column("policy_text", Text, nullable=False),
    Column("seed", BigInteger, nullable=False),
    Column("replication", BigInteger, nullable=False),
    Column("version", String(64), nullable=False),
    Column("outcome", Text, nullable=False),
    Column("checksum", String(16), nullable=False),
    Column("kept_at", _MOMENT, nullable=False),
    _row_sum(),
)

studies = Table(
    "linesim_studies",
    METADATA,
    Column("number", _Number, primary_key=True, autoincrement=True),
    Column("digest", _DIGEST, nullable=False, unique=True),
    Column("kind", String(64), nullable=False),
    Column("name", Text, nullable=False),
    Column("works", _DIGEST, ForeignKey("linesim_works.digest"), nullable=False),
    Column("settings", Text, nullable=False),
    Column("version", String(64), nullable=False),
    Column("status", String(16), nullable=False),
    Column("begun_at", _MOMENT, nullable=False),
    Column("changed_at", _MOMENT, nullable=False),
    Column("answer", Text, nullable=False),
    _row_sum(),
)

study_runs = Table(
    "linesim_study_runs",
    METADATA,
    Column("study", _Number, ForeignKey("linesim_studies.number", ondelete="CASCADE"), primary_key=True),
    Column("run", _DIGEST, ForeignKey("linesim_runs.key", ondelete="CASCADE"), primary_key=True),
    Column("policy", Text, primary_key=True),
    _row_sum(),
)
"""Which runs belong to a study, and what it calls the policy of each; several names may stand for the same rules."""

attempts = Table(
    "linesim_training_attempts",
    METADATA,
    Column("number", _Number, primary_key=True, autoincrement=True),
    Column("nickname", String(LONGEST_NICKNAME), nullable=False),
    Column("lesson", Text, nullable=False),
    Column("shift", BigInteger, nullable=False),
    Column("day", Date, nullable=False),
    Column("is_passed", Boolean, nullable=False),
    Column("earned", Float, nullable=False),
    Column("share_of_best", Float),
    Column("decisions", Integer, nullable=False),
    Column("steps_back", Integer, nullable=False),
    _row_sum(),
)
"""Shifts that trainees have played to their end; nothing of a person but the nickname and the day."""

shifts = Table(
    "linesim_training_shifts",
    METADATA,
    Column("key", String(32), primary_key=True),
    Column("nickname", String(LONGEST_NICKNAME)),
    Column("lesson", Text, nullable=False),
    Column("day", Date, nullable=False),
    Column("step", Integer, nullable=False),
    Column("is_over", Boolean, nullable=False),
    Column("kept", Text, nullable=False),
    _row_sum(),
)
"""Shifts in trainees' hands, each under a key that nobody can guess, with everything decided so far."""

_KEY = String(32)

desks = Table(
    "linesim_desks",
    METADATA,
    Column("key", _KEY, primary_key=True),
    Column("name", Text, nullable=False),
    Column("owner", _DIGEST, nullable=False),
    Column("begun_at", _MOMENT, nullable=False),
    _row_sum(),
)
"""Desks of the dashboard, each under a key that nobody can guess; whose it is, is empty where nobody is asked."""

desk_versions = Table(
    "linesim_desk_versions",
    METADATA,
    Column("desk", _KEY, ForeignKey("linesim_desks.key", ondelete="CASCADE"), primary_key=True),
    Column("version", Integer, primary_key=True, autoincrement=False),
    Column("works", _DIGEST, ForeignKey("linesim_works.digest"), nullable=False),
    Column("origin", Text, nullable=False),
    Column("words", Text, nullable=False),
    Column("seat", _KEY, nullable=False),
    Column("step", _KEY, nullable=False),
    Column("made_at", _MOMENT, nullable=False),
    _row_sum(),
)
"""Every state of a desk: its scenario, what was done, at which seat, and by which step, so that none is there twice."""

desk_links = Table(
    "linesim_desk_links",
    METADATA,
    Column("token", _KEY, primary_key=True),
    Column("desk", _KEY, ForeignKey("linesim_desks.key", ondelete="CASCADE"), nullable=False),
    Column("way", String(16), nullable=False),
    Column("made_at", _MOMENT, nullable=False),
    _row_sum(),
    UniqueConstraint("desk", "way"),
)
"""What was given out to colleagues: for each way of taking part one link that nobody can guess."""

desk_drafts = Table(
    "linesim_desk_drafts",
    METADATA,
    Column("desk", _KEY, ForeignKey("linesim_desks.key", ondelete="CASCADE"), primary_key=True),
    Column("seat", _KEY, primary_key=True),
    Column("since", _DIGEST, nullable=False),
    Column("is_inch", Boolean, nullable=False),
    Column("cells", Text, nullable=False),
    Column("made_at", _MOMENT, nullable=False),
    _row_sum(),
)
"""Sheets as they were typed at a seat where they cannot be read yet, and the scenario from which they set out."""

approvals = Table(
    "linesim_approvals",
    METADATA,
    Column("number", _Number, primary_key=True, autoincrement=True),
    Column("works", _DIGEST, ForeignKey("linesim_works.digest"), nullable=False),
    Column("works_name", Text, nullable=False),
    Column("policy", Text, nullable=False),
    Column("cards", Text, nullable=False),
    Column("why", Text, nullable=False),
    Column("proposed_by", Text, nullable=False),
    Column("proposed_at", _MOMENT, nullable=False),
    Column("approved_by", Text, nullable=False),
    Column("approved_at", _MOMENT, nullable=False),
    Column("valid_from", Date),
    Column("review", Date),
    Column("revision", Integer),
    Column("replaces", Integer),
    _row_sum(),
    UniqueConstraint("works_name", "revision"),
)
"""What was proposed for the machines, and what of it was approved; a revision of a works is there once."""

Index("linesim_approvals_of_works", approvals.c.works)
Index("linesim_desks_of", desks.c.owner)
Index("linesim_desk_versions_of_works", desk_versions.c.works)
Index("linesim_training_attempts_of", attempts.c.nickname)
Index("linesim_training_shifts_of", shifts.c.nickname, shifts.c.lesson)
Index("linesim_runs_of_works", runs.c.works)
Index("linesim_studies_of_run", study_runs.c.run)


def _first(connection: Connection) -> None:
    METADATA.create_all(connection, tables=[marks, works, runs, studies, study_runs], checkfirst=True)


def _second(connection: Connection) -> None:
    METADATA.create_all(connection, tables=[attempts, shifts], checkfirst=True)


def _third(connection: Connection) -> None:
    """Give every row that is kept from now on a sum."""
    for table in (works, runs, studies, study_runs, attempts, shifts):
        if "row_sum" not in {column["name"] for column in inspect(connection).get_columns(table.name)}:
            connection.exec_driver_sql(f"ALTER TABLE {table.name} ADD COLUMN row_sum VARCHAR(16)")


def _fourth(connection: Connection) -> None:
    METADATA.create_all(connection, tables=[desks, desk_versions, desk_links], checkfirst=True)


def _fifth(connection: Connection) -> None:
    METADATA.create_all(connection, tables=[approvals], checkfirst=True)


def _sixth(connection: Connection) -> None:
    METADATA.create_all(connection, tables=[desk_drafts], checkfirst=True)


STEPS: tuple[Callable[[Connection], None], ...] = (_first, _second, _third, _fourth, _fifth, _sixth)
"""Step n, counted from 1, makes a store of schema n out of one of schema n - 1."""

NEWEST = len(STEPS)
"""Schema that this version of linesim reads and writes."""
