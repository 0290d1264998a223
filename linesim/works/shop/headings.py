"""The seven columns of a shop's routing sheet, and the headings by which they are known."""

from __future__ import annotations

import re
from collections.abc import Sequence
from typing import NamedTuple

from linesim.errors import nearest, quoted
from linesim.works.book.headings import is_note, parted
from linesim.works.book.spots import Sheet

__all__ = ["COLUMNS", "UNITS", "Head", "SheetColumn", "head_of", "is_like_a_head", "plain_words"]

UNITS = {
    "min": 1.0, "mins": 1.0, "minute": 1.0, "minutes": 1.0, "minuten": 1.0,
    "s": 1 / 60, "sec": 1 / 60, "secs": 1 / 60, "second": 1 / 60, "seconds": 1 / 60, "sek": 1 / 60,
    "sekunden": 1 / 60, "h": 60.0, "hr": 60.0, "hrs": 60.0, "hour": 60.0, "hours": 60.0, "std": 60.0,
}  # fmt: skip
"""Minutes of each unit of time."""

_LEAST_KNOWN = 3
"""Headings by which a row is taken for the head of a routing sheet."""


class SheetColumn(NamedTuple):
    """A column.

    Attributes
    ----------
    heading : str
        As the empty sheet has it.
    also : tuple of str
        Other headings by which it is known, small letters and no signs.
    note : str
        What it means.
    is_time : bool
        Whether it holds minutes.
    """

    heading: str
    also: tuple[str, ...]
    note: str
    is_time: bool = False


COLUMNS: dict[str, SheetColumn] = {
    "number": SheetColumn(
        "operation number",
        ("operation", "operation no", "operation nr", "op", "op no", "op nr", "op number", "opn", "no", "nr", "number",
         "seq", "sequence", "step", "arbeitsgang", "arbeitsgang nr", "ag", "ag nr", "avo", "vorgang"),
        "Number of the operation, in the order in which parts meet them. Leave it empty in further rows of an "
        "operation: one for each further tool.",
    ),
    "work": SheetColumn(
        "what is done",
        ("description", "operation description", "description of operation", "work", "task", "text", "what",
         "bezeichnung", "beschreibung", "arbeitsgangtext", "tätigkeit"),
        "In your words.",
    ),
    "machine": SheetColumn(
        "machine",
        ("machine no", "machine name", "machines", "machine tool", "work centre", "work center", "workcentre",
         "workcenter", "resource", "maschine", "maschinen", "arbeitsplatz"),
        'Its name. "2 x Mill 3" stands for two machines side by side.',
    ),
    "cycle": SheetColumn(
        "cycle minutes",
        ("cycle", "cycle time", "minutes", "time", "minutes per part", "time per part", "time per piece", "piece time",
         "floor to floor", "floor to floor time", "minutes each", "te", "stückzeit", "zykluszeit", "taktzeit"),
        "From one part to the next on one machine, loading included. Needed.",
        True,
    ),
    "tool": SheetColumn(
        "tool",
        ("tools", "tool no", "tool number", "tool name", "cutter", "cutters", "cutter set", "werkzeug", "werkzeuge"),
        "What is changed in one go. Leave it empty where nothing wears.",
    ),
    "parts": SheetColumn(
        "parts per tool",
        ("parts per edge", "parts per change", "pieces per tool", "parts tool", "pieces tool", "tool life",
         "tool life parts", "tool life in parts", "life", "life parts", "life in parts", "parts", "pieces",
         "standmenge"),
        "Parts after which it is changed today.",
    ),
    "change": SheetColumn(
        "change minutes",
        ("change", "change time", "tool change", "tool change time", "tool change minutes", "minutes per change",
         "wechselzeit", "werkzeugwechsel", "werkzeugwechselzeit"),
        "How long the machine stands for a change of this tool.",
        True,
    ),
}  # fmt: skip
"""By the names that the rest of this package has for them."""

_BY_WORDS = {words: name for name, column in COLUMNS.items() for words in (column.heading, *column.also)}
_PARTS = ("", "parts", "pcs", "pieces", "stk", "st", "stück")


class Head(NamedTuple):
    """The row of headings.

    Attributes
    ----------
    row : int
        Which one, from 0.
    at : dict of str to int
        Number of each column that is there.
    minutes : dict of str to float
        Of the columns of times: minutes of one unit.
    """

    row: int
    at: dict[str, int]
    minutes: dict[str, float]


def plain_words(text: str) -> str:
    """Return a heading without signs, in small letters.

    >>> plain_words("Op.-No."), plain_words("Parts / tool")
    ('op no', 'parts tool')
    """
    return " ".join(re.sub(r"[\W_]+", " ", text.casefold()).split())


def is_like_a_head(cells: Sequence[object], least: int = _LEAST_KNOWN) -> bool:
    """Whether a row has the headings of a routing sheet, or some that are near.

    Parameters
    ----------
    cells : sequence
        Of the row.
    least : int
        How many of the seven are asked for.
    """
    names = {_known(text)[0] for text in cells if isinstance(text, str) and len(text) <= 60}
    return len(names - {""}) >= least and bool(names & {"number", "cycle"})


def head_of(sheet: Sheet, row: int) -> Head:
    """Read the row of headings; what is wrong with one goes to its cell.

    Parameters
    ----------
    sheet : Sheet
        The whole sheet.
    row : int
        Which row, from 0.
    """
    at: dict[str, int] = {}
    minutes: dict[str, float] = {}
    strangers: list[tuple[int, str]] = []
    for column in range(len(sheet.grid[row])):
        text = sheet.text(row, column)
        name, unit = _known(text)
        if not name:
            strangers += [(column, text)] if text and not is_note(text) else []
        elif name in at:
            wanted = f"a second column {quoted(COLUMNS[name].heading)}; one was expected"
            sheet.refuse(row, column, wanted, 'A column whose heading begins with "note" is passed over.')
        else:
            at[name] = column
            minutes[name] = _checked_unit(sheet, row, column, name, unit)
    _ask_for_missing(sheet, row, at, strangers)
    return Head(row, at, minutes)


def _known(text: str) -> tuple[str, str]:
    """Return which column a heading means, and its unit; empty if none."""
    words, unit = parted(text)
    plain, unit = plain_words(words), plain_words(unit)
    if plain in _BY_WORDS:
        return _BY_WORDS[plain], unit
    rest, _, last = plain.removesuffix(" in").rpartition(" ")
    rest = rest.removesuffix(" in")
    return (_BY_WORDS[rest], last) if last in UNITS and rest in _BY_WORDS else ("", "")


def _checked_unit(sheet: Sheet, row: int, column: int, name: str, unit: str) -> float:
    """Return how many minutes a plain number of a column of times is."""
    if COLUMNS[name].is_time:
        if not unit or unit in UNITS:
            return UNITS.get(unit, 1.0)
        wanted = "a time such as min, s or h was expected"
    elif name != "parts" or unit in _PARTS:
        return 1.0
    else:
        wanted = "parts from one change to the next were expected"
    sheet.refuse(row, column, f"the unit {quoted(unit)} was found in this heading; {wanted}")
    return 1.0


def _ask_for_missing(sheet: Sheet, row: int, at: dict[str, int], strangers: list[tuple[int, str]]) -> None:
    """Say of a column that is missing which heading was most likely meant for it."""
    for name in (name for name in COLUMNS if name not in at):
        heading = COLUMNS[name].heading
        near = {
            text: column for column, text in strangers if nearest(plain_words(text), (heading, *COLUMNS[name].also))
        }
        if near:
            text, column = next(iter(near.items()))
            hint = f'Did you mean {quoted(heading)}? A heading that begins with "note" is passed over.'
            sheet.refuse(row, column, f"{quoted(text)} is no heading of a routing sheet", hint)
        elif name in ("number", "cycle"):
            sheet.refuse(row, 0, f"there is no column {quoted(heading)} in this row of headings; one was expected")
