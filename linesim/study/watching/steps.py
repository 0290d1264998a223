"""Watching step by step, for a page: records as they were sent, one figure after another."""

from __future__ import annotations

import time
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace

from linesim.records.mapping import FileMapping
from linesim.records.sent import read_all
from linesim.study.interim import Interim
from linesim.study.options import StudyOptions
from linesim.study.watching.expected import expected_in
from linesim.study.watching.watch import Watched, Watching, in_order, watch_each
from linesim.works import Works

__all__ = ["watching_steps"]


def watching_steps(
    works: Works, files: Mapping[str, bytes], mappings: Sequence[FileMapping], replications: int = 0
) -> Iterator[Interim[Watching]]:
    """Hold records against the figures of a scenario.

    Parameters
    ----------
    works : Works
        With the standing figures.
    files : mapping of str to bytes
        Contents by name, from anyone.
    mappings : sequence of FileMapping
        Confirmed by a person.
    replications : int
        With which the interval of a set whose life has moved is judged anew; 0 if nothing is to be run.

    Yields
    ------
    Interim
        The last has the answer.

    Raises
    ------
    ScenarioError
        A file has not the headings that its mapping names.
    StudyError, RunError
        As for every study, where something is run.
    """
    began_s = time.monotonic()
    yield Interim(0, 1, 0.0, None, "reading the rows")
    every = read_all(files, mappings)
    total = sum(1 for _ in expected_in(works, every)) + 1
    options = StudyOptions.of(replications=replications, workers=1) if replications else None
    watched: list[Watched] = []
    for done, each in enumerate(watch_each(works, every, None, options), start=1):
        watched.append(_without_rows(each))
        words = f"{each.expected.of}, {each.expected.what}"
        yield Interim(min(done, total - 1), total, time.monotonic() - began_s, in_order(watched), words)
    yield Interim(total, total, time.monotonic() - began_s, in_order(watched), "", True)


def _without_rows(each: Watched) -> Watched:
    """The same without the records, which its chart sums up."""
    return replace(each, expected=replace(each.expected, rows=(), errors=()))
