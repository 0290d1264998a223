"""Desks of the dashboard in the store: their names, every version of their scenarios, and the links given out to them.

A desk is known by a key that nobody can guess, and so is each link. A version is written only if the one before it is
the newest, so that two who work on one desk never overwrite each other unseen; every version is a row of its own, which
is there whole or not at all.
"""

from __future__ import annotations

import secrets
from typing import Any

from sqlalchemy import Connection, Select, delete, func, insert, select, update

from linesim.errors import StoreError
from linesim.store.desk_rows import (
    COPY,
    LONGEST_NAME,
    LOOK,
    MOST_DESKS,
    MOST_VERSIONS,
    TOGETHER,
    WAYS,
    Change,
    DeskVersion,
    GoneError,
    KeptDesk,
    LedTo,
    MovedOnError,
    desk_name_from,
)
from linesim.store.patience import patient
from linesim.store.schema import approvals, desk_drafts, desk_links, desk_versions, desks, runs, studies, works
from linesim.store.store import Store
from linesim.store.studies import now
from linesim.store.sums import summed

__all__ = [
    "COPY", "LONGEST_NAME", "LOOK", "MOST_DESKS", "MOST_VERSIONS", "TOGETHER", "WAYS", "Change", "DeskVersion",
    "GoneError", "KeptDesk", "LedTo", "MovedOnError", "delete_desk", "desk_led_to", "desk_name_from", "desks_of",
    "keep_desk", "keep_version", "link_to", "links_to", "newest_version", "rename_desk", "version_of", "versions_of",
    "withdraw_link",
]  # fmt: skip

# --- desks -----------------------------------------------------------------------------------------------------------


@patient
def keep_desk(store: Store, key: str, name: str, owner: str, change: Change) -> None:
    """Keep a desk that has not been kept before, with its first version.

    Parameters
    ----------
    store : Store
        Where.
    key : str
        Under which it is found from now on; nobody must be able to guess it.
    name, owner : str
        What it is called, and whose it is.
    change : Change
        Its first version.

    Raises
    ------
    StoreError
        The owner has `MOST_DESKS` already, or the store cannot be written.
    """
    row = {"key": key, "name": desk_name_from(name), "owner": owner, "begun_at": now()}
    with store.writing() as connection:
        there = connection.execute(select(func.count()).where(desks.c.owner == owner, desks.c.key != key)).scalar_one()
        if there >= MOST_DESKS:
            raise StoreError(f"{MOST_DESKS} desks are kept, and no more can be; take one away first")
        if connection.execute(select(desks.c.key).where(desks.c.key == key)).first() is None:
            connection.execute(insert(desks).values(summed(row)))
            _write(connection, store, key, 1, change)


@patient
def desks_of(store: Store, owner: str) -> list[KeptDesk]:
    """The desks of an owner, the one that was changed last first."""
    with store.reading() as connection:
        rows = connection.execute(_listing().where(desks.c.owner == owner)).mappings()
        answer = [_desk(store, dict(row)) for row in rows]
    return sorted(answer, key=lambda desk: desk.changed_at, reverse=True)


@patient
def desk_led_to(store: Store, token: str) -> LedTo | None:
    """Where a desk's own key, or a link to one, leads; None if it leads nowhere."""
    with store.reading() as connection:
        link = connection.execute(select(desk_links).where(desk_links.c.token == token)).mappings().one_or_none()
        key = token if link is None else store.checked(desk_links, dict(link))["desk"]
        row = connection.execute(_listing().where(desks.c.key == key)).mappings().one_or_none()
        return None if row is None else LedTo(_desk(store, dict(row)), "" if link is None else link["way"])


@patient
def rename_desk(store: Store, key: str, name: str) -> None:
    """Give a desk another name.

    Raises
    ------
    StoreError
        The name cannot be one.
    GoneError
        There is no such desk.
    """
    with store.writing() as connection:
        row = _locked(connection, store, key)
        whole = {**row, "name": desk_name_from(name)}
        connection.execute(update(desks).where(desks.c.key == key).values(summed(whole)))


@patient
def delete_desk(store: Store, key: str) -> None:
    """Take a desk away for good, with its versions, its links, and the scenarios that nothing else needs."""
    needed = (
        select(studies.c.works)
        .union(select(runs.c.works), select(desk_versions.c.works), select(approvals.c.works))
        .subquery()
    )
    with store.writing() as connection:
        own = connection.execute(select(desk_versions.c.works).where(desk_versions.c.desk == key)).scalars().all()
        for table in (desk_links, desk_drafts, desk_versions):
            connection.execute(delete(table).where(table.c.desk == key))
        connection.execute(delete(desks).where(desks.c.key == key))
        for digest in set(own):
            gone = (works.c.digest == digest, works.c.digest.not_in(needed.select()))
            connection.execute(delete(works).where(*gone))


# --- versions --------------------------------------------------------------------------------------------------------


@patient
def keep_version(store: Store, key: str, seen: int, change: Change) -> int:
    """Write a version that follows the one that was seen.

    Parameters
    ----------
    store : Store
        Where.
    key : str
        Of the desk.
    seen : int
        The version that the change was made from.
    change : Change
        What is written.

    Returns
    -------
    int
        The number of the version; that of the first time if the same step is written again.

    Raises
    ------
    MovedOnError
        There is a newer version than the one seen; nothing has been written.
    GoneError
        There is no such desk.
    """
    with store.writing() as connection:
        _locked(connection, store, key)
        own = (desk_versions.c.desk == key, desk_versions.c.step == change.step)
        again = connection.execute(select(desk_versions.c.version).where(*own)).scalar_one_or_none()
        if again is not None:
            return int(again)
        if connection.execute(_newest(key)).scalar_one() != seen:
            raise MovedOnError(f"{store.location}: somebody else has changed this desk in the meantime")
        _write(connection, store, key, seen + 1, change)
        old = desk_versions.c.version <= seen + 1 - MOST_VERSIONS
        connection.execute(delete(desk_versions).where(desk_versions.c.desk == key, old))
    return seen + 1


@patient
def versions_of(store: Store, key: str) -> list[DeskVersion]:
    """All versions of a desk, the newest first."""
    asked = select(desk_versions).where(desk_versions.c.desk == key).order_by(desk_versions.c.version.desc())
    with store.reading() as connection:
        return [_version(store, dict(row)) for row in connection.execute(asked).mappings()]


@patient
def version_of(store: Store, key: str, version: int) -> DeskVersion:
    """One version of a desk.

    Raises
    ------
    GoneError
        It is not there.
    """
    asked = select(desk_versions).where(desk_versions.c.desk == key, desk_versions.c.version == version)
    with store.reading() as connection:
        row = connection.execute(asked).mappings().one_or_none()
        if row is None:
            raise GoneError(f"version {version} of this desk is not kept any more")
        return _version(store, dict(row))


@patient
def newest_version(store: Store, token: str) -> int:
    """The number of the newest version of the desk to which its own key or a link leads; 0 if it leads nowhere."""
    linked = select(desk_links.c.desk).where(desk_links.c.token == token)
    asked = select(func.max(desk_versions.c.version)).where(
        (desk_versions.c.desk == token) | desk_versions.c.desk.in_(linked)
    )
    with store.reading() as connection:
        return int(connection.execute(asked).scalar_one() or 0)


# --- links -----------------------------------------------------------------------------------------------------------


@patient
def link_to(store: Store, key: str, way: str) -> str:
    """The link to a desk in one of the `WAYS`; made if there is none yet.

    Raises
    ------
    GoneError
        There is no such desk.
    """
    assert way in WAYS
    with store.writing() as connection:
        _locked(connection, store, key)
        there = links_on(connection, store, key)
        if way not in there:
            there[way] = secrets.token_urlsafe(16)
            row = {"token": there[way], "desk": key, "way": way, "made_at": now()}
            connection.execute(insert(desk_links).values(summed(row)))
    return there[way]


@patient
def links_to(store: Store, key: str) -> dict[str, str]:
    """The links to a desk that were given out, by their way."""
    with store.reading() as connection:
        return links_on(connection, store, key)


@patient
def withdraw_link(store: Store, token: str) -> None:
    """Let a link lead nowhere from now on."""
    with store.writing() as connection:
        connection.execute(delete(desk_links).where(desk_links.c.token == token))


# --- how -------------------------------------------------------------------------------------------------------------


def links_on(connection: Connection, store: Store, key: str) -> dict[str, str]:
    """Links to a desk by their way, read on a connection."""
    rows = connection.execute(select(desk_links).where(desk_links.c.desk == key)).mappings().all()
    return {row["way"]: store.checked(desk_links, dict(row))["token"] for row in rows}


def _locked(connection: Connection, store: Store, key: str) -> dict[str, Any]:
    """The row of a desk, held until the change is over."""
    row = connection.execute(select(desks).where(desks.c.key == key).with_for_update()).mappings().one_or_none()
    if row is None:
        raise GoneError("this desk is not in the store any more; somebody has taken it away")
    return store.checked(desks, dict(row))


def _write(connection: Connection, store: Store, key: str, version: int, change: Change) -> None:
    store.put_works(connection, change.scenario)
    values = {name: getattr(change, name) for name in ("origin", "words", "seat", "step")}
    row = {"desk": key, "version": version, "works": change.scenario.digest, "made_at": now()}
    connection.execute(insert(desk_versions).values(summed(row | values)))


def _newest(key: Any) -> Select[Any]:
    return select(func.max(desk_versions.c.version)).where(desk_versions.c.desk == key)


def _listing() -> Select[Any]:
    """Desks with their newest versions and the names of their scenarios."""
    joined = desks.join(desk_versions, desk_versions.c.desk == desks.c.key).join(
        works, works.c.digest == desk_versions.c.works
    )
    newest = _newest(desks.c.key).correlate(desks).scalar_subquery()
    columns = (desk_versions.c.version, desk_versions.c.made_at, works.c.name.label("works_name"))
    return select(desks, *columns).select_from(joined).where(desk_versions.c.version == newest)


def _desk(store: Store, row: dict[str, Any]) -> KeptDesk:
    own = store.checked(desks, row)
    return KeptDesk(
        own["key"], own["name"], own["owner"], row["works_name"], row["version"], own["begun_at"], row["made_at"]
    )


def _version(store: Store, row: dict[str, Any]) -> DeskVersion:
    own = store.checked(desk_versions, row)
    return DeskVersion(**{name: own[name] for name in DeskVersion.__dataclass_fields__})
