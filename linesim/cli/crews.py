"""The crew of a command: its workers, its store, and the record of the study that it carries out."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager

from linesim.cli.asked import WHERE, plain_options
from linesim.cli.guard import complain
from linesim.cli.options import StudyAsked
from linesim.errors import StoreError
from linesim.store import Store, is_no_store, open_store
from linesim.study.crew.crew import Crew
from linesim.study.crew.recording import Record, recorded
from linesim.works import Works

__all__ = ["crew_for", "store_at"]

_NO_MATTER = WHERE | {"paper", "units", "currency", "rate", "minutes"}
"""Options that make no difference to what a study runs, but to where its answer goes and how it is shown."""


@contextmanager
def crew_for(kind: str, works: Works, asked: StudyAsked) -> Iterator[Record]:
    """A crew as the options say, and the record of the study that it is for.

    Parameters
    ----------
    kind : str
        What the store calls it.
    works : Works
        What is asked about.
    asked : StudyAsked
        As given on the command line.

    Yields
    ------
    Record
        Give its ``crew`` to the study, and put the answer in short into its ``answer``.

    Raises
    ------
    KeyboardInterrupt
        The user has stopped it; says what is in the store.
    """
    opened = store_at(asked.store)
    try:
        given = plain_options(_NO_MATTER, lambda path: path.name)
        with recorded(Crew(asked.workers, opened, asked.cluster), kind, works, given, asked.name) as record:
            yield record
    except KeyboardInterrupt:
        if opened is None:
            raise
        stored = f"the runs that had ended are kept in {opened.location}"
        raise KeyboardInterrupt(f"Stopped; {stored}. The same command goes on from there.") from None
    finally:
        if opened is not None:
            opened.close()


def store_at(place: str | None) -> Store | None:
    """The store that is named, here or in LINESIM_STORE; the user's own unless one is; none if that is asked for.

    Raises
    ------
    StoreError
        The one that is named cannot be opened.
    """
    if is_no_store(place):
        return None
    try:
        return open_store(place)
    except StoreError as error:
        if place is not None:
            raise
        complain(f"{error}\nThis study goes on, but its runs are not kept.")
        return None
