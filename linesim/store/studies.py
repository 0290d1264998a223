"""The studies in a store: begun, gone on with, found again, named, taken away."""

from __future__ import annotations

import hashlib
import json
from abc import ABC, abstractmethod
from collections.abc import Mapping, Sequence
from contextlib import AbstractContextManager
from datetime import UTC, datetime, timedelta
from typing import Any

from sqlalchemy import (
    ColumnElement,
    Connection,
    Engine,
    RowMapping,
    Select,
    Table,
    delete,
    func,
    or_,
    select,
    update,
)  # fmt: skip

from linesim.errors import StoreError, nearest
from linesim.store.patience import patient
from linesim.store.rows import Pruned, StoredStudy, StoredWorks
from linesim.store.schema import approvals, desk_versions, runs, studies, study_runs, works
from linesim.store.sums import summed

__all__ = ["STATUSES", "Studies", "now"]

STATUSES = ("running", "stopped", "failed", "finished")
"""What a study can be; one whose process was killed goes on saying that it is running."""


class Studies(ABC):
    """What a `linesim.store.Store` does with studies."""

    engine: Engine
    location: str
    has_given_up: bool

    @patient
    def begin(
        self, kind: str, scenario: StoredWorks, settings: Mapping[str, Any], version: str, name: str = ""
    ) -> StoredStudy:
        """Begin a study, or go on with the one that was asked the same before.

        Parameters
        ----------
        kind : str
            What is asked, such as ``compare``.
        scenario : StoredWorks
            What is asked about; kept with it.
        settings : mapping
            Everything else that is asked; plain values.
        version : str
            Of the model.
        name : str
            Given by the user; an empty one leaves the name as it is.

        Returns
        -------
        StoredStudy
        """
        text = json.dumps(dict(settings), sort_keys=True)
        digest = hashlib.sha256(json.dumps([kind, scenario.digest, text, version]).encode()).hexdigest()
        row = {"kind": kind, "works": scenario.digest, "settings": text, "version": version, "status": "running"}
        moments = {"begun_at": now(), "changed_at": now()}
        with self.writing() as connection:
            self.put_works(connection, scenario)
            self._insert(connection, studies, [row | moments | {"digest": digest, "name": name, "answer": "{}"}])
            again: dict[str, Any] = {"status": "running", "changed_at": now()} | ({"name": name} if name else {})
            self._rewrite(connection, studies.c.digest == digest, again)
            answer = connection.execute(_listing().where(studies.c.digest == digest)).mappings().one()
        return self._study(answer)

    @patient
    def end(self, study: int, status: str, answer: Mapping[str, Any] | None = None) -> None:
        """Write down how a study has ended, and its answer in short if it has one.

        Parameters
        ----------
        study : int
            Its number.
        status : {"stopped", "failed", "finished"}
        answer : mapping, optional
            Plain values; the one that is there stays unless given.
        """
        values: dict[str, Any] = {"status": status, "changed_at": now()}
        if answer is not None:
            values["answer"] = json.dumps(dict(answer))
        with self.writing() as connection:
            self._rewrite(connection, studies.c.number == study, values)

    @patient
    def studies(self) -> list[StoredStudy]:
        """All studies, the one that last got on first."""
        with self.reading() as connection:
            asked = _listing().order_by(studies.c.changed_at.desc(), studies.c.number.desc())
            return [self._study(row) for row in connection.execute(asked).mappings()]

    def study(self, called: int | str) -> StoredStudy:
        """One study by its number or name.

        Raises
        ------
        StoreError
            There is none, or there are several of that name.
        """
        everything = self.studies()
        wanted = str(called)
        answer = [study for study in everything if str(study.number) == wanted]
        answer = answer or [study for study in everything if study.name == wanted]
        if len(answer) == 1:
            return answer[0]
        if answer:
            numbers = ", ".join(str(study.number) for study in answer)
            raise StoreError(
                f'{self.location}: several studies are called "{wanted}"; say one of the numbers {numbers}'
            )
        near = nearest(wanted, [study.name for study in everything if study.name])
        hint = f'; did you mean "{near}"?' if near else "; see: linesim runs list"
        raise StoreError(f'{self.location}: there is no study "{wanted}"{hint}')

    @patient
    def rename(self, study: int, name: str) -> None:
        """Give a study a name; an empty one takes it away.

        Raises
        ------
        StoreError
            The name is a number, by which another one could be meant, or is too long or not printable.
        """
        if name.strip().isdigit() or len(name) > 100 or not name.isprintable():
            raise StoreError(f'"{name[:100]}" cannot name a study; up to 100 letters were expected, and no number')
        with self.writing() as connection:
            self._rewrite(connection, studies.c.number == study, {"name": name.strip()})

    @patient
    def delete(self, study: int) -> None:
        """Take a study out of the list; its runs stay until they are pruned, as another study may need them."""
        with self.writing() as connection:
            connection.execute(delete(study_runs).where(study_runs.c.study == study))
            connection.execute(delete(studies).where(studies.c.number == study))

    @patient
    def prune(
        self,
        version: str | None = None,
        older_than_days: float | None = None,
        chosen: Sequence[int] = (),
        is_tried: bool = True,
    ) -> Pruned:
        """Take away what no study needs, and studies that are outdated.

        Parameters
        ----------
        version : str, optional
            Takes studies and runs of every other model version as well, which no study can use any more.
        older_than_days : float, optional
            Takes studies that have not got on for so long as well.
        chosen : sequence of int
            Takes these studies as well.
        is_tried : bool
            Only tell what would go.

        Returns
        -------
        Pruned
            What has gone, or would go: studies, runs, scenarios, kilobytes of outcomes and texts.
        """
        connecting = self.reading() if is_tried else self.writing()
        with connecting as connection:
            old = _outdated(connection, version, older_than_days, chosen)
            needed = select(study_runs.c.run).where(study_runs.c.study.not_in(old))
            free = runs.c.key.not_in(needed)
            kept_works = _works_needed(old, needed)
            pruned = _counted(connection, old, free, works.c.digest.not_in(kept_works))
            if not is_tried:
                connection.execute(delete(study_runs).where(study_runs.c.study.in_(old)))
                connection.execute(delete(studies).where(studies.c.number.in_(old)))
                connection.execute(delete(runs).where(runs.c.key.not_in(select(study_runs.c.run))))
                connection.execute(delete(works).where(works.c.digest.not_in(_works_needed([], needed))))
        return pruned

    def put_works(self, connection: Connection, scenario: StoredWorks) -> None:
        """Keep a scenario; one that is there already stays as it is, unless its text was lost."""
        row = vars(scenario) | {"kept_at": now()}
        self._insert(connection, works, [row])
        lost = (works.c.digest == scenario.digest, works.c.text == "")
        connection.execute(update(works).where(*lost).values(summed(row)))

    def _rewrite(self, connection: Connection, which: ColumnElement[bool], values: Mapping[str, Any]) -> None:
        """Change some columns of a study that is whole."""
        row = connection.execute(select(studies).where(which).with_for_update()).mappings().one_or_none()
        if row is not None:
            whole = self.checked(studies, dict(row)) | dict(values)
            connection.execute(update(studies).where(studies.c.number == row["number"]).values(summed(whole)))

    def _study(self, row: RowMapping) -> StoredStudy:
        self.checked(studies, dict(row))
        plain = {name: row[name] for name in StoredStudy.__dataclass_fields__}
        return StoredStudy(**plain | {"settings": json.loads(row["settings"]), "answer": json.loads(row["answer"])})

    # --- given by the store ------------------------------------------------------------------------------------------

    @abstractmethod
    def reading(self) -> AbstractContextManager[Connection]:
        """A connection on which to read."""

    @abstractmethod
    def writing(self) -> AbstractContextManager[Connection]:
        """A connection on which to write."""

    @abstractmethod
    def checked(self, table: Table, row: Mapping[str, Any]) -> dict[str, Any]:
        """The columns of a row of a table, if they say what was written."""

    @abstractmethod
    def _insert(self, connection: Connection, table: Table, rows: Sequence[dict[str, Any]]) -> None:
        """Write rows into a table, leaving out those that are there already."""


def _listing() -> Select[Any]:
    """Studies with the names of their scenarios and the number of their runs."""
    counted = select(func.count()).where(study_runs.c.study == studies.c.number).scalar_subquery()
    joined = studies.join(works, works.c.digest == studies.c.works)
    return select(studies, works.c.name.label("works_name"), counted.label("runs")).select_from(joined)


def _outdated(connection: Connection, version: str | None, days: float | None, chosen: Sequence[int]) -> list[int]:
    """Numbers of the studies of other versions, of those that have not got on for so many days, and of those chosen."""
    wanted: list[ColumnElement[bool]] = [studies.c.number.in_(chosen)]
    if version is not None:
        wanted.append(studies.c.version != version)
    if days is not None:
        since = (datetime.now(UTC) - timedelta(days=days)).isoformat(timespec="milliseconds")
        wanted.append(studies.c.changed_at < since)
    return [int(number) for number in connection.execute(select(studies.c.number).where(or_(*wanted))).scalars()]


def _works_needed(old: Sequence[int], needed_runs: Select[Any]) -> Select[Any]:
    """Digests of the scenarios of the studies and runs that stay, of all versions of desks, and of approvals."""
    of_studies = select(studies.c.works).where(studies.c.number.not_in(old))
    of_runs = select(runs.c.works).where(runs.c.key.in_(needed_runs))
    return of_studies.union(of_runs, select(desk_versions.c.works), select(approvals.c.works)).subquery().select()


def _counted(
    connection: Connection, old: Sequence[int], free: ColumnElement[bool], idle: ColumnElement[bool]
) -> Pruned:
    size = func.coalesce(func.sum(func.length(runs.c.outcome) + func.length(runs.c.policy_text)), 0)
    n_runs, letters = connection.execute(select(func.count(), size).select_from(runs).where(free)).one()
    length = func.coalesce(func.sum(func.length(works.c.text)), 0)
    n_works, more = connection.execute(select(func.count(), length).select_from(works).where(idle)).one()
    return Pruned(len(old), int(n_runs), int(n_works), round((int(letters) + int(more)) / 1000))


def now() -> str:
    """The moment, as it is written in the store: UTC, ISO 8601."""
    return datetime.now(UTC).isoformat(timespec="milliseconds")
