"""A study in the store: begun before its first run, and closed with its answer, or with why it has none."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from contextlib import contextmanager, suppress
from dataclasses import dataclass, replace
from typing import Any

from linesim.errors import StoreError
from linesim.store import StoredWorks
from linesim.study.crew.crew import Crew
from linesim.study.crew.version import model_version
from linesim.study.interim import Ending
from linesim.works import Works, digest, to_yaml

__all__ = ["Record", "recorded"]


@dataclass
class Record:
    """A study on its way into the store.

    Attributes
    ----------
    crew : Crew
        Carries out its runs, and notes that they belong to it.
    number : int or None
        By which the study is called; None where nothing is stored.
    answer : dict
        What it has found, in short; plain values, set by whoever carries the study out.
    """

    crew: Crew
    number: int | None
    answer: dict[str, Any]


@contextmanager
def recorded(crew: Crew, kind: str, works: Works, settings: Mapping[str, Any], name: str = "") -> Iterator[Record]:
    """Record a study while it is carried out; one that was asked the same before is gone on with.

    Parameters
    ----------
    crew : Crew
        With the store; without one nothing is recorded.
    kind : str
        What is asked, such as ``compare``.
    works : Works
        What is asked about.
    settings : mapping
        Everything else that is asked; plain values.
    name : str
        Given by the user; may be empty.

    Yields
    ------
    Record
        Its crew is to carry out the runs; its answer is to be filled.

    Raises
    ------
    StoreError
        The store cannot be read or written.
    """
    if crew.store is None:
        yield Record(crew, None, {})
        return
    store, scenario = crew.store, StoredWorks(digest(works), works.name, to_yaml(works))
    number = store.begin(kind, scenario, settings, model_version(), name).number
    record = Record(replace(crew, study=number), number, {})
    try:
        yield record
    except BaseException as error:
        is_stopped = isinstance(error, (KeyboardInterrupt, GeneratorExit, Ending))
        with suppress(StoreError):  # the error under way says more
            store.end(number, "stopped" if is_stopped else "failed")
        raise
    store.end(number, "finished", record.answer)
