"""The SQLite file of a store: what lies there, made whole or not at all, opened, or copied to be read."""

from __future__ import annotations

import os
import secrets
import shutil
import sqlite3
import tempfile
from collections.abc import Callable
from pathlib import Path
from typing import Any
from urllib.parse import quote

from sqlalchemy import URL, Connection, Engine, create_engine, event

from linesim.errors import StoreError
from linesim.store.failing import damaged

__all__ = ["APPLICATION_ID", "can_be_written", "copied", "embedded", "look_at", "made_new", "only_read"]

_HEAD = b"SQLite format 3\x00"
APPLICATION_ID = 0x6C6E736D
"""The letters lnsm, by which a file says that it is a store; SQLite keeps it at byte 68 of the file."""

_BUSY_MS = 30_000
"""How long one process waits for another to finish writing."""

_OTHER = "name another file with --store"

_MOST_MADE_UP = 1000
"""Times its own size to which a file that is too short is made up; a head may say anything."""


def embedded(path: Path, journal: str = "WAL") -> Engine:
    """Engine for a file that has been looked at; it may be written to.

    Parameters
    ----------
    path : pathlib.Path
        The file.
    journal : {"WAL", "DELETE"}
        How SQLite keeps a change whole: in a file beside it that stays, or in one that goes with each change.
    """
    engine = create_engine(URL.create("sqlite", database=str(path)), connect_args={"timeout": _BUSY_MS / 1000})

    @event.listens_for(engine, "connect")
    def _prepare(connection: Any, _: Any) -> None:
        connection.isolation_level = None  # transactions are begun below, so that a schema is made whole or not at all
        for word in (f"busy_timeout={_BUSY_MS}", f"journal_mode={journal}", "synchronous=FULL", "foreign_keys=ON"):
            connection.execute(f"PRAGMA {word}")

    @event.listens_for(engine, "begin")
    def _begin(connection: Connection) -> None:
        # Who means to write says so at once: two that wait for each other could not be told apart from a full disk.
        is_reading = connection.get_execution_options().get("reads", False)
        connection.exec_driver_sql("BEGIN" if is_reading else "BEGIN IMMEDIATE")

    return engine


def only_read(path: Path) -> Engine:
    """Engine for a file that nothing can be written to by it."""

    def connect() -> sqlite3.Connection:
        return sqlite3.connect(f"file:{quote(str(path))}?mode=ro", uri=True, timeout=_BUSY_MS / 1000)

    return create_engine("sqlite://", creator=connect)


def made_new(path: Path, fill: Callable[[Engine], None]) -> None:
    """Make a store where there is none: beside its path, and put there once it is whole.

    So no half of one is ever seen, and an empty file is always one that something else has emptied.

    Parameters
    ----------
    path : pathlib.Path
        Where it is to lie. Who comes second, finds the one of who came first.
    fill : callable
        Makes its tables.
    """
    fresh = path.with_name(f".{path.name}.{secrets.token_hex(8)}.new")
    engine = embedded(fresh, "DELETE")
    try:
        fill(engine)
        engine.dispose()
        _put(fresh, path)
    finally:
        engine.dispose()
        for left in (fresh, fresh.with_name(f"{fresh.name}-journal")):
            left.unlink(missing_ok=True)


def _put(fresh: Path, path: Path) -> None:
    """Give a file its name, unless that is taken."""
    try:
        path.hardlink_to(fresh)
    except FileExistsError:
        return
    except OSError:  # a file system without links
        if not path.exists():
            fresh.replace(path)


def look_at(path: Path) -> None:
    """See to it that a path is a store, or free to become one, before anything is opened for writing.

    Raises
    ------
    StoreError
        It is something else, damaged, or cannot be read. Nothing has been written to it.
    """
    try:
        if path.is_dir():
            raise StoreError(f"{path} is a folder; the file of a store was expected, such as {path / 'runs.sqlite'}")
        if not path.exists():
            if not path.parent.is_dir():
                raise StoreError(f"{path}: there is no folder {path.parent}; make it, or {_OTHER}")
            if not os.access(path.parent, os.W_OK):
                raise StoreError(f"{path}: the folder {path.parent} cannot be written to; {_OTHER}")
            return
        with path.open("rb") as file:
            head = file.read(100)
        size = path.stat().st_size
    except OSError as error:
        raise StoreError(f"{path}: {error.strerror or error}; {_OTHER}") from error
    look_at_head(path, head)
    missing = missing_bytes(path, head, size)
    if missing:
        raise damaged(str(path), missing)


def look_at_head(path: Path, head: bytes) -> None:
    """See to it that a file is a store by its first hundred bytes.

    Raises
    ------
    StoreError
        It is something else.
    """
    if not head.strip(b"\x00"):
        raise StoreError(
            f"{path} is empty, which a store never is. If it was one, put a copy of it back; to begin anew, take the "
            f"file away, or {_OTHER}"
        )
    if not head.startswith(_HEAD):
        raise StoreError(f"{path} is no store of linesim but another kind of file, and is left as it is; {_OTHER}")
    if len(head) >= 72 and int.from_bytes(head[68:72], "big") not in {0, APPLICATION_ID}:
        raise StoreError(f"{path} is the SQLite file of another program, and is left as it is; {_OTHER}")


def _is_settled(path: Path) -> bool:
    """Whether all of the file is in the file, and nothing beside it waits to be put in."""
    beside = [path.with_name(path.name + ending) for ending in ("-wal", "-journal")]
    return not any(file.exists() and file.stat().st_size for file in beside)


def missing_bytes(path: Path, head: bytes, size: int) -> str:
    """What is missing of a file by its head (SQLite file format, bytes 16, 24, 28, 92); empty if nothing is."""
    wanted = _size_wanted(head)
    if size >= wanted or not _is_settled(path):
        return ""
    return f"it has {size:,} bytes where {wanted:,} were expected"


def _size_wanted(head: bytes) -> int:
    """Bytes that a file must have by its head; 0 if the head does not say."""
    page = int.from_bytes(head[16:18], "big")
    is_known = len(head) >= 100 and head[24:28] == head[92:96]
    return (65536 if page == 1 else page) * int.from_bytes(head[28:32], "big") if is_known else 0


def can_be_written(path: Path) -> bool:
    """Whether a store can be written to, or made, at a path."""
    return os.access(path.parent, os.W_OK) and (not path.exists() or os.access(path, os.W_OK))


def copied(path: Path) -> tuple[tempfile.TemporaryDirectory[str], str]:
    """A temporary folder with a copy of a store under its own name, to be read while the store is left alone.

    Returns
    -------
    folder : tempfile.TemporaryDirectory
        Where a file that is too short has been made up with zeros, as SQLite reads nothing of it else.
    missing : str
        What is missing of the store; empty if nothing is.

    Raises
    ------
    StoreError
        It is no store, or cannot be read or copied.
    """
    folder = tempfile.TemporaryDirectory(prefix="linesim-store-", ignore_cleanup_errors=True)
    try:
        for ending in ("", "-wal"):
            source = path.with_name(path.name + ending)
            if source.exists():
                shutil.copyfile(source, Path(folder.name) / source.name)
        copy = Path(folder.name) / path.name
        copy.chmod(0o600)
        with copy.open("r+b") as file:
            head = file.read(100)
            look_at_head(path, head)
            size = copy.stat().st_size
            missing = missing_bytes(path, head, size)
            if missing:
                file.truncate(min(_size_wanted(head), _MOST_MADE_UP * size))
    except (OSError, StoreError) as error:
        folder.cleanup()
        if isinstance(error, StoreError):
            raise
        raise StoreError(f"{path}: {error.strerror or error}; it could not be copied to be read") from error
    return folder, missing
