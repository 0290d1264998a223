"""Records fitted step by step: rows that serve, rows set aside, figures, and what they would do to a scenario."""

from __future__ import annotations

import time
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace

from linesim.records.fitted import Fitted, fit_steps
from linesim.records.mapping import FileMapping
from linesim.records.overlay import Overlay, overlay_of
from linesim.records.reading import Aside, Records
from linesim.records.sent import read_all
from linesim.study.interim import Interim
from linesim.works import Works

__all__ = ["FileRows", "FittedRecords", "fitting_steps", "rows_of"]


@dataclass(frozen=True)
class FileRows:
    """How many rows of one file serve.

    Attributes
    ----------
    file, kind : str
        The file with its sheet, and what it records.
    used, set_aside, remarks : int
        Rows that serve; that do not; that serve with a remark.
    """

    file: str
    kind: str
    used: int
    set_aside: int
    remarks: int


@dataclass(frozen=True)
class FittedRecords:
    """What records say, and what they would do to a scenario.

    Attributes
    ----------
    rows : tuple of FileRows
        File by file.
    asides : tuple of Aside
        Every row set aside or remarked on.
    fitted : Fitted
        The figures.
    overlay : Overlay
        What goes into the scenario, and what stays the handbook's.
    """

    rows: tuple[FileRows, ...]
    asides: tuple[Aside, ...]
    fitted: Fitted
    overlay: Overlay = field(default_factory=Overlay)


def rows_of(records: Records) -> tuple[FileRows, ...]:
    """How many rows of each file serve."""
    return tuple(
        FileRows(
            file,
            next((row.kind for row in records.rows if row.file == file), ""),
            sum(row.file == file for row in records.rows),
            sum(each.file == file and not each.is_used for each in records.asides),
            sum(each.file == file and each.is_used for each in records.asides),
        )
        for file in records.files
    )


def fitting_steps(
    works: Works, files: Mapping[str, bytes], mappings: Sequence[FileMapping]
) -> Iterator[Interim[FittedRecords]]:
    """Read records by their mapping and fit what they allow, set by set.

    Parameters
    ----------
    works : Works
        Whose handbook enters where few edges wore out, and into which the figures would go.
    files : mapping of str to bytes
        Contents by name, from anyone.
    mappings : sequence of FileMapping
        Confirmed by a person.

    Yields
    ------
    Interim
        The last has the answer.

    Raises
    ------
    ScenarioError
        A file has not the headings that its mapping names.
    """
    began_s = time.monotonic()
    yield Interim(0, 1, 0.0, None, "reading the rows")
    every = read_all(files, mappings)
    rows, fitted = rows_of(every), Fitted()
    total = len({(row.kind == "stoppages", row.name("set") or row.name("machine")) for row in every.rows}) + 1
    for done, name in enumerate(fit_steps(fitted, every, works)):
        yield Interim(min(done, total - 1), total, time.monotonic() - began_s, None, f"fitting {name}")
    overlay = overlay_of(fitted, works)
    answer = FittedRecords(rows, (*every.asides, *fitted.asides), _without_rows(fitted), overlay)
    yield Interim(total, total, time.monotonic() - began_s, answer, "", True)


def _without_rows(fitted: Fitted) -> Fitted:
    """The same without the rows that lives come from: a page has their origin in words."""
    lives = {name: replace(life, data=replace(life.data, rows=())) for name, life in fitted.lives.items()}
    return replace(fitted, lives=lives)
