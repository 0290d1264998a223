"""The store of runs, and of the scenarios they belong to."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from contextlib import contextmanager, suppress
from importlib import import_module
from tempfile import TemporaryDirectory
from typing import Any, Self

from sqlalchemy import Connection, Engine, Table, func, select
from sqlalchemy.exc import SQLAlchemyError

from linesim.errors import StoreError
from linesim.store.checking import problem_of, problems
from linesim.store.failing import DamagedError, damaged, telling
from linesim.store.patience import patient
from linesim.store.rows import StoredRun, StoredWorks
from linesim.store.schema import runs, study_runs, works
from linesim.store.studies import Studies, now
from linesim.store.sums import run_sum, summed

__all__ = ["Store"]

_AT_ONCE = 500
"""Keys in one question; databases do not take any number."""


class Store(Studies):
    """Runs, studies and scenarios that outlast the program; made by `linesim.store.open_store`.

    Parameters
    ----------
    engine : sqlalchemy.Engine
        Of an open store.
    location : str
        What it is called in errors; without a password.

    Notes
    -----
    Every method raises StoreError where the database cannot be read or written. Each is one change that happens whole
    or not at all, and may be used from any thread; other processes may use the same store at the same time.
    """

    def __init__(self, engine: Engine, location: str) -> None:
        self.engine = engine
        self.location = location
        self.has_given_up = False
        self.damage: DamagedError | None = None
        self.copy: TemporaryDirectory[str] | None = None
        self.missing = ""

    def __enter__(self) -> Self:
        return self

    def __exit__(self, *error: object) -> None:
        self.close()

    def close(self) -> None:
        """Let go of the file or the server; what has been kept is kept."""
        self.engine.dispose()
        if self.copy is not None:
            self.copy.cleanup()

    def problems(self) -> Iterator[str]:
        """Everything in the store that is not as it was written; empty if it is whole."""
        if self.missing:
            yield self.missing
        with self.reading() as connection:
            yield from problems(connection)

    # --- runs ----------------------------------------------------------------------------------------------------

    @patient
    def outcomes(self, keys: Iterable[str]) -> dict[str, str]:
        """Outcomes of the runs that are there.

        Parameters
        ----------
        keys : iterable of str
            Which runs.

        Returns
        -------
        dict of str to str
            By key; those that are not there are left out.

        Raises
        ------
        StoreError
            One of them does not say what was written; the file is damaged.
        """
        answer: dict[str, str] = {}
        with self.reading() as connection:
            for part in _parts(list(dict.fromkeys(keys))):
                for row in connection.execute(select(runs).where(runs.c.key.in_(part))).mappings():
                    answer[row["key"]] = self.checked(runs, dict(row))["outcome"]
        return answer

    @patient
    def has_runs_of(self, digests: Iterable[str]) -> bool:
        """Whether there is any run of these scenarios; a quick look before thousands of keys are asked for."""
        with self.reading() as connection:
            parts = _parts(list(dict.fromkeys(digests)))
            asked = (select(runs.c.key).where(runs.c.works.in_(part)).limit(1) for part in parts)
            return any(connection.execute(each).first() is not None for each in asked)

    @patient
    def keep(self, ended: Sequence[StoredRun], study: int | None = None) -> None:
        """Keep runs; one that is there already stays as it is.

        Parameters
        ----------
        ended : sequence of StoredRun
            Runs that have ended; their scenarios must have been kept before.
        study : int, optional
            Study that they belong to.
        """
        if not ended:
            return
        rows = [vars(run) | {"kept_at": now(), "checksum": run_sum(run.key, run.outcome)} for run in ended]
        with self.writing() as connection:
            self._insert(connection, runs, rows)
            self._note(connection, study, [(run.key, run.policy) for run in ended])

    @patient
    def note(self, study: int, named: Sequence[tuple[str, str]]) -> None:
        """Note that runs which are there already belong to a study as well.

        Parameters
        ----------
        study : int
            Its number.
        named : sequence of (str, str)
            Key of each run, and what the study calls its policy.
        """
        if named:
            with self.writing() as connection:
                self._note(connection, study, named)

    def runs_of(self, study: int | None = None) -> Iterator[StoredRun]:
        """Runs of a study, or all, in the order in which they were kept.

        Parameters
        ----------
        study : int, optional
            Its number; all runs unless given. The policies are called what the study calls them.
        """
        asked = select(runs)
        if study is not None:
            asked = select(runs, study_runs.c.policy.label("called")).join(study_runs, study_runs.c.run == runs.c.key)
            asked = asked.where(study_runs.c.study == study)
        asked = asked.order_by(runs.c.kept_at, runs.c.policy, runs.c.seed, runs.c.replication)
        asked = asked.execution_options(yield_per=_AT_ONCE)
        with self.reading() as connection, connection.execute(asked) as answer:
            for row in answer.mappings():
                values = self.checked(runs, dict(row)) | {"policy": row.get("called", row["policy"])}
                yield StoredRun(**{name: values[name] for name in StoredRun.__dataclass_fields__})

    @patient
    def count_runs(self) -> int:
        """How many runs there are."""
        with self.reading() as connection:
            return int(connection.execute(select(func.count()).select_from(runs)).scalar_one())

    # --- scenarios -----------------------------------------------------------------------------------------------

    @patient
    def keep_works(self, stored: StoredWorks) -> None:
        """Keep a scenario; one that is there already stays as it is, unless its text was lost."""
        with self.writing() as connection:
            self.put_works(connection, stored)

    @patient
    def works(self, digest: str) -> StoredWorks | None:
        """A scenario by its digest; None if it is not there."""
        with self.reading() as connection:
            row = connection.execute(select(works).where(works.c.digest == digest)).mappings().one_or_none()
        if row is None or not self.checked(works, dict(row))["text"]:
            return None
        return StoredWorks(row["digest"], row["name"], row["text"])

    # --- how -----------------------------------------------------------------------------------------------------

    @contextmanager
    def reading(self) -> Iterator[Connection]:
        """A connection on which to read, for what other modules of this room keep; failures come out as StoreError."""
        with self._noting(), telling(self.location), self.engine.connect() as plain:
            connection = plain.execution_options(reads=True)
            transaction = connection.begin()
            try:
                yield connection
            finally:
                with suppress(SQLAlchemyError):  # nothing was written; a damaged file may not even let go
                    transaction.rollback()

    @contextmanager
    def writing(self) -> Iterator[Connection]:
        """A connection on which to write: all that is done on it happens whole or not at all.

        Raises
        ------
        StoreError
            It cannot be written to, or damage was seen in it.
        """
        if self.damage is not None:
            raise DamagedError(str(self.damage))
        if self.copy is not None:
            raise StoreError(f"{self.location} cannot be written to; name another store with --store")
        with self._noting(), telling(self.location), self.engine.begin() as connection:
            yield connection

    @contextmanager
    def _noting(self) -> Iterator[None]:
        """Remember damage that comes to light, so that nothing more is written."""
        try:
            yield
        except DamagedError as error:
            self.damage = error
            raise

    def _note(self, connection: Connection, study: int | None, named: Sequence[tuple[str, str]]) -> None:
        if study is not None:
            rows = [{"study": study, "run": key, "policy": policy} for key, policy in named]
            self._insert(connection, study_runs, rows)

    def _insert(self, connection: Connection, table: Table, rows: Sequence[dict[str, Any]]) -> None:
        """Insert rows but for those that are there already, written perhaps by another process just now."""
        dialect: Any = import_module(f"sqlalchemy.dialects.{connection.dialect.name}")
        connection.execute(dialect.insert(table).on_conflict_do_nothing(), [summed(row) for row in rows])

    def checked(self, table: Table, row: Mapping[str, Any]) -> dict[str, Any]:
        """The columns of a row of a table, if they say what was written.

        Raises
        ------
        DamagedError
            They do not.
        """
        own = {column.name: row[column.name] for column in table.c}
        problem = problem_of(table, own)
        if problem:
            self.damage = damaged(self.location, problem)
            raise self.damage
        return own


def _parts(keys: Sequence[str]) -> Iterator[Sequence[str]]:
    for first in range(0, len(keys), _AT_ONCE):
        yield keys[first : first + _AT_ONCE]
