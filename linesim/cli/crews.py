"""The crew of a command: its workers, its store, and the record of the study that it carries out."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import TYPE_CHECKING, Any

from linesim.cli.guard import OPTIONS, complain
from linesim.errors import StoreError

if TYPE_CHECKING:
    from linesim.store import Store
    from linesim.study.crew.recording import Record
    from linesim.works import Works

__all__ = ["NO_STORE", "crew_for", "store_at"]

NO_STORE = "none"
"""Stands for no store at all in place of one."""

_NO_MATTER = {
    "file", "html", "excel", "paper", "units", "currency", "rate", "write", "as_json", "csv", "force", "workers",
    "store", "cluster", "name", "minutes",
}  # fmt: skip
"""Options that make no difference to what a study finds, but to where and how it is told."""


@contextmanager
def crew_for(
    kind: str,
    works: Works,
    workers: int | None = None,
    store: str | None = None,
    cluster: str | None = None,
    name: str = "",
) -> Iterator[Record]:
    """A crew as the options say, and the record of the study that it is for.

    Parameters
    ----------
    kind : str
        Name of the command.
    works : Works
        What is asked about.
    workers, store, cluster, name
        As given on the command line.

    Yields
    ------
    Record
        Give its ``crew`` to the study, and put the answer in short into its ``answer``.

    Raises
    ------
    KeyboardInterrupt
        The user has stopped it; says what is kept.
    """
    from linesim.study.crew.crew import Crew  # noqa: PLC0415 - help stays quick
    from linesim.study.crew.recording import recorded  # noqa: PLC0415

    opened = store_at(store)
    try:
        with recorded(Crew(workers, opened, cluster), kind, works, _asked(), name) as record:
            yield record
    except KeyboardInterrupt:
        if opened is None:
            raise
        kept = f"the runs that had ended are kept in {opened.place}"
        raise KeyboardInterrupt(f"Stopped; {kept}. The same command goes on from there.") from None
    finally:
        if opened is not None:
            opened.close()


def _asked() -> dict[str, Any]:
    """What the command was asked, as plain values; files by their names."""
    given = {name: value for name, value in OPTIONS.get({}).items() if name not in _NO_MATTER}
    return {name: _plain(value) for name, value in given.items()}


def _plain(value: Any) -> Any:
    if isinstance(value, Path):
        return value.name
    return [_plain(item) for item in value] if isinstance(value, (list, tuple)) else value


def store_at(place: str | None) -> Store | None:
    """The store that is named; the user's own unless one is, and none if that cannot be had.

    Raises
    ------
    StoreError
        The one that is named cannot be opened.
    """
    from linesim.store import open_store  # noqa: PLC0415 - help stays quick

    if place == NO_STORE:
        return None
    try:
        return open_store(place)
    except StoreError as error:
        if place is not None:
            raise
        complain(f"{error}\nThis study goes on, but its runs are not kept.")
        return None
