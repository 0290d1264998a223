"""What the cells of a column offer to choose from: words of the scenario, names on another sheet, handbook entries."""

from __future__ import annotations

import re
from dataclasses import dataclass

from linesim import handbook
from linesim.works.book.layout import Column, Layout, Table

__all__ = ["Offer", "offer_of"]

_BY_HANDBOOK = {
    "material": lambda: sorted(handbook.materials()),
    "grade": lambda: sorted({*(grade for grade, _ in handbook.grades()), *handbook.abrasives()}),
}
_BY_WORDS = (
    (re.compile(r"\bpools? of people\b"), "People"),
    (re.compile(r"\bfeature\b(?!s)", re.IGNORECASE), "Features"),
    (re.compile(r"\bcutters? (?:set|of this works)\b|\bcutter sets\b", re.IGNORECASE), "Cutters"),
    (re.compile(r"\boperation\b(?!s)", re.IGNORECASE), "Operations"),
    (re.compile(r"^The policy\b"), "Policies"),
    (re.compile(r"^Name of the cut\b"), "Cuts"),
    (re.compile(r"^The line\b|\bfeature of that line\b"), "Line"),
)
"""By the description of an entry that takes a text: on which sheet its names stand."""


@dataclass(frozen=True)
class Offer:
    """What a cell offers.

    Parameters
    ----------
    words : tuple of str
        To choose from, if they are known beforehand.
    title : str
        Sheet whose names are offered, otherwise.
    is_bound : bool
        Whether nothing else may stand there.
    """

    words: tuple[str, ...] = ()
    title: str = ""
    is_bound: bool = False


def offer_of(column: Column, layout: Layout) -> Offer | None:
    """Return what the cells of a column offer, or None for nothing.

    Parameters
    ----------
    column : Column
        Of any sheet.
    layout : Layout
        All sheets.
    """
    shape = column.shape
    if shape.expected == ("true or false",):
        return Offer(("yes", "no"), is_bound=True)
    if column.is_mark:
        return Offer(("yes",), is_bound=True)
    if column.choices:
        return Offer(column.choices, is_bound=not shape.expected)
    if shape.expected != ("a text",) or not column.path:
        return None
    name = str(column.path[-1])
    if name in _BY_HANDBOOK:
        return Offer(tuple(_BY_HANDBOOK[name]()))
    table = _with_key(name, layout) or _by_words(column.note, layout)
    return Offer(title=table.title) if table is not None else None


def _with_key(name: str, layout: Layout) -> Table | None:
    """Return the sheet whose rows have such names."""
    return next((table for table in layout.tables if table.keys and table.keys[-1] == name), None)


def _by_words(note: str, layout: Layout) -> Table | None:
    """Return the sheet that a description speaks of."""
    titles = {table.title: table for table in layout.tables}
    return next((titles[title] for pattern, title in _BY_WORDS if pattern.search(note) and title in titles), None)
