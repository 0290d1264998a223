"""A guess of the mapping: which record a file is, which heading means what, in which units; for a person to confirm."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from datetime import date
from typing import Any

from linesim.errors import ScenarioError, nearest, quoted
from linesim.records.cells import DoubtError, Writing, factor, is_missing, parted
from linesim.records.kinds import KINDS, Column, Kind, headings_of, words_of
from linesim.records.mapping import FileMapping, Heading
from linesim.records.tables import Table, cells_under
from linesim.works.yaml_tree import refused_at

__all__ = ["columns_guessed", "guessed", "meaning_of"]

_UNIT_BEHIND = re.compile(
    r"(?P<name>.+?)\s*(?:[\[(](?P<unit>[^\])]{1,20})[\])]|,\s*(?P<after>[^\s,]{1,12})|\s+in\s+(?P<within>[^\s]{1,12}))"
)
_SAMPLE = 500
_NUMERIC = ("number", "count")


def guessed(table: Table, file: str, sheet: str = "") -> FileMapping:
    """Guess how a table is to be read.

    Parameters
    ----------
    table : Table
        Headings and cells.
    file, sheet : str
        Its path as the mapping should name it, and its sheet.

    Returns
    -------
    FileMapping
        With remarks on what the guess is not sure of.

    Raises
    ------
    ScenarioError
        It is like no kind of record.
    """
    choices = [(columns_guessed(table, kind), kind) for kind in KINDS.values()]
    full = [(columns, kind) for columns, kind in choices if all(set(group) & columns.keys() for group in kind.needed)]
    if not full:
        raise _like_nothing(table, choices)
    columns, kind = max(full, key=lambda each: (len(each[0]), len(each[1].needed)))
    remarks: list[str] = []
    decimal = _decimal(table, kind, columns, remarks)
    writing = Writing(decimal, _dates(table, kind, columns, remarks))
    words = _words(table, kind, columns, remarks)
    passed = [
        heading for heading in table.headings if heading and heading not in {each.heading for each in columns.values()}
    ]
    remarks += [f"not read: {', '.join(map(quoted, passed[:20]))}"] if passed else []
    return FileMapping(file, kind, columns, sheet, writing, words, remarks=tuple(remarks))


def _like_nothing(table: Table, choices: Sequence[tuple[dict[str, Heading], Kind]]) -> ScenarioError:
    """Say what is missing for the likeliest kind of record."""
    columns, kind = max(choices, key=lambda each: len(each[0]))
    lacking = [" or ".join(group) for group in kind.needed if not set(group) & columns.keys()]
    text = (
        f"no kind of record has these headings; the nearest are {kind.name}, for which {', '.join(lacking)} is missing"
    )
    return refused_at(
        table.file,
        None,
        text,
        "Write a mapping by hand, or rename a heading: linesim records --templates DIR shows them.",
    )


def columns_guessed(table: Table, kind: Kind) -> dict[str, Heading]:
    """Return which heading is which column: whole names first, then headings that are nearly such a name."""
    left = {heading: _parted_heading(heading) for heading in dict.fromkeys(table.headings) if heading}
    columns: dict[str, Heading] = {}
    for match in (_same, _nearly):
        for rank in range(max(len(headings_of(column.name)) for column in kind.columns)):
            for column in kind.columns:
                names = (
                    headings_of(column.name)[rank : rank + 1]
                    if match is _same
                    else headings_of(column.name)[: 3 if rank == 0 else 0]
                )
                if column.name not in columns and names:
                    _take(columns, column, left, [heading for heading in left if match(left[heading][0], names)], table)
    return {column.name: columns[column.name] for column in kind.columns if column.name in columns}


def _take(
    columns: dict[str, Heading], column: Column, left: dict[str, tuple[str, str]], fits: list[str], table: Table
) -> None:
    """Take the first heading that fits a column and whose cells may be what the column holds."""
    for heading in fits:
        unit = left[heading][1]
        if _is_unit(unit, column) and _may_hold(table, heading, column):
            columns[column.name] = Heading(heading, "" if unit == column.unit or column.holds != "number" else unit)
            del left[heading]
            return


def _parted_heading(heading: str) -> tuple[str, str]:
    """Part a heading into its name, in small letters, and its unit."""
    match = _UNIT_BEHIND.fullmatch(heading.replace("_", " "))
    if match is None:
        return _folded(heading), ""
    return _folded(match["name"]), (match["unit"] or match["after"] or match["within"] or "").strip()


def _folded(text: str) -> str:
    return " ".join(re.sub(r"[._:#-]+", " ", text).casefold().split())


def _same(name: str, names: Sequence[str]) -> bool:
    return name in map(_folded, names)


def _nearly(name: str, names: Sequence[str]) -> bool:
    return len(name) > 3 and nearest(name, [each for each in names if len(each) > 3], 0.8) is not None


def _is_unit(unit: str, column: Column) -> bool:
    """Whether figures in a unit can stand in a column."""
    if not unit or column.holds != "number":
        return True
    try:
        factor(unit, column.unit)
    except DoubtError:
        return False
    return True


def _may_hold(table: Table, heading: str, column: Column) -> bool:
    """Whether most cells under a heading are of the kind of a column."""
    cells = [cell for _, cell in zip(range(_SAMPLE), cells_under(table, heading), strict=False) if not is_missing(cell)]
    if not cells:
        return True
    figures = sum(_is_figure(cell) for cell in cells)
    dates = sum(_is_dated(cell) for cell in cells)
    if column.holds in _NUMERIC:
        return 2 * figures > len(cells)
    if column.holds == "moment":
        return 2 * dates > len(cells)
    return column.holds == "name" or 2 * figures <= len(cells)


def _is_figure(cell: Any) -> bool:
    if isinstance(cell, str):
        return parted(cell) is not None and not _is_dated(cell)
    return isinstance(cell, (int, float)) and not isinstance(cell, bool)


def _is_dated(cell: Any) -> bool:
    return isinstance(cell, date) or (
        isinstance(cell, str) and re.match(r"\s*\d{1,4}[./-]\d{1,2}[./-]\d{1,4}", cell) is not None
    )


def _texts(table: Table, kind: Kind, columns: dict[str, Heading], holds: tuple[str, ...]) -> Iterator[str]:
    """Yield the texts in all columns that hold something."""
    for name, column in columns.items():
        if kind.column(name).holds in holds:
            yield from (
                cell.strip() for cell in cells_under(table, column.heading) if isinstance(cell, str) and cell.strip()
            )


def _decimal(table: Table, kind: Kind, columns: dict[str, Heading], remarks: list[str]) -> str:
    """Return the sign of decimals."""
    figures = [both[0] for text in _texts(table, kind, columns, _NUMERIC) if (both := parted(text)) is not None]
    marked = [text for text in figures if "," in text or "." in text]
    votes = {",": 0, ".": 0}
    for text in marked:
        last = max(text.rfind(","), text.rfind("."))
        if len(text) - last != 4 or {",", "."} <= set(text) or text.lstrip("+-").startswith("0"):
            votes[text[last]] += 1
    if votes[","] and votes["."]:
        remarks.append(f"decimals: {votes[',']} figures have a comma and {votes['.']} a point; say which in decimal")
    if marked and not any(votes.values()):
        remarks.append(f"decimals: {quoted(marked[0])} may be read in two ways; say which in decimal")
    return "," if votes[","] > votes["."] else "."


def _dates(table: Table, kind: Kind, columns: dict[str, Heading], remarks: list[str]) -> str:
    """Return the order of day, month and year."""
    texts = list(_texts(table, kind, columns, ("moment",)))
    parts = [match for text in texts if (match := re.match(r"(\d{1,4})([./-])(\d{1,2})[./-](\d{1,4})", text))]
    short = [match for match in parts if len(match[1]) <= 2]
    if not short:
        return "year first"
    is_day = any(int(match[1]) > 12 for match in short)
    is_month = any(int(match[3]) > 12 for match in short)
    if is_day == is_month and not (short[0][2] == "." and not is_month):
        remarks.append(f"dates: {quoted(short[0][0])} may be day or month first; say which in dates")
    return "month first" if is_month and not is_day else "day first"


def _words(table: Table, kind: Kind, columns: dict[str, Heading], remarks: list[str]) -> dict[str, str]:
    """Return what the words in a column mean."""
    words = {}
    for name, heading in columns.items():
        known = kind.column(name).words
        cells = dict.fromkeys(
            " ".join(str(cell).split()).casefold()[:100]
            for cell in cells_under(table, heading.heading)
            if not is_missing(cell)
        )
        for cell in list(cells)[:100] if known else ():
            meant = meaning_of(cell, known)
            if meant is None:
                remarks.append(f"words: {quoted(cell)} is not known; its rows are set aside until it stands there")
            elif meant != cell:
                words[cell] = meant
    return words


def meaning_of(cell: str, known: tuple[str, ...]) -> str | None:
    """Return which word a cell means: the very word, or one that holds it."""
    whole = next((word for word in known if cell in words_of(word)), None)
    return whole or next(
        (word for word in known if any(len(each) > 3 and each in cell for each in words_of(word))), None
    )
