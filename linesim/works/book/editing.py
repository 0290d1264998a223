"""A scenario under the hands of who puts it in: its sheets as they stand, finished or not, and what is done to rows.

What is typed stays as it was typed, also where it cannot be read yet. A row is known by its names; what stands on other
sheets below it, or speaks of it, follows when it is renamed, copied or taken away.
"""

from __future__ import annotations

import json
from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from linesim.errors import StudyError, quoted
from linesim.works.book.layout import Table, layout_of
from linesim.works.book.offers import offer_of
from linesim.works.book.sheets import filled_sheets, grids_of
from linesim.works.book.spots import Raw
from linesim.works.book.trees import tree_of
from linesim.works.load import works_from_tree
from linesim.works.model import Works
from linesim.works.writing import plain

__all__ = ["Draft", "Names"]

Names = tuple[str, ...]
"""The names by which a row is known, from the outermost: line, operation, stroke, cut."""

_SAME = {"cutter set": "cutter"}
"""Headings of names that speak of a row of another sheet in other words."""


@dataclass(frozen=True)
class Draft:
    """The sheets of a scenario as they stand; every change gives another draft.

    Parameters
    ----------
    grids : mapping of str to rows
        Cells of each sheet from the headings on, by its name, as a workbook holds them.
    """

    grids: Mapping[str, list[list[Raw]]]

    @classmethod
    def of(cls, works: Works, is_inch: bool = False) -> Draft:
        """Lay a works out on its sheets.

        Parameters
        ----------
        works : Works
            Checked.
        is_inch : bool
            Lengths in inches, and what goes with them.
        """
        return cls(grids_of(*filled_sheets(plain(works), is_inch=is_inch)))

    def works(self, name: str) -> Works:
        """Read what stands on the sheets.

        Parameters
        ----------
        name : str
            What to call it in errors.

        Raises
        ------
        ScenarioError
            With everything that is wrong, each with its sheet and cell.
        """
        return works_from_tree(lambda problems: tree_of(self.grids, name, problems))

    @classmethod
    def again(cls, text: str, works: Works, is_inch: bool = False) -> Draft:
        """Take sheets up again as `text` gave them.

        Parameters
        ----------
        text : str
            All cells, as JSON.
        works : Works
            From which they set out; its sheets stand where the text has none.
        is_inch : bool
            As the sheets are.
        """
        fresh, kept = cls.of(works, is_inch).grids, json.loads(text)
        return cls({title: kept.get(title, rows) for title, rows in fresh.items()})

    @property
    def text(self) -> str:
        """All cells as a text that `again` reads."""
        return json.dumps(self.grids, ensure_ascii=False, default=str)

    def rows(self, title: str) -> list[list[Raw]]:
        """Return the rows of a sheet without its headings."""
        return self.grids[title][1:]

    def names(self, title: str) -> list[Names]:
        """Return the names of all rows of a sheet in which all of them are filled in."""
        count = len(layout_of().titled(title).keys)
        known = [_names(row, count) for row in self.rows(title)]
        return [names for names in known if all(names)]

    def with_rows(self, title: str, rows: Iterable[list[Raw]]) -> Draft:
        """Return the draft with other rows on a sheet, as they were typed."""
        return Draft({**self.grids, title: [self.grids[title][0], *rows]})

    def edited(self, title: str, rows: Iterable[tuple[int | None, list[Raw]]]) -> Draft:
        """Take over the rows of a sheet after they were typed over, added and taken away.

        Parameters
        ----------
        title : str
            The sheet.
        rows : iterable of (int or None, row)
            Its rows, each with the number that it had on the sheet, counted from 0, or None if it is new. A row with
            another name was renamed; one whose number is missing was taken away.
        """
        table = layout_of().titled(title)
        now, before, count, speaking = list(rows), self.rows(title), len(table.keys), _speaking(table, table)
        draft, left = self, {number for number, _ in now if number is not None}
        for at, row in enumerate(before):
            names = _names(row, count)
            if at not in left and names and all(names):
                draft = draft.without(title, names)
        for number, row in list(now):
            old, new = () if number is None else _names(before[number], count), _names(row, count)
            if old and all(old) and all(new) and old[:-1] == new[:-1] and old != new:
                draft = draft.renamed(title, old, new[-1])
                now = [(at, _spoken_of(row, speaking, old[-1], new[-1])) for at, row in now]
        return draft.with_rows(title, [row for _, row in now])

    def renamed(self, title: str, names: Names, to: str) -> Draft:
        """Give a row another name, wherever it is spoken of.

        Parameters
        ----------
        title : str
            Its sheet.
        names : tuple of str
            The row; the last of them is replaced.
        to : str
            The new name.
        """
        depth, table, grids = len(names) - 1, layout_of().titled(title), dict(self.grids)
        for other in layout_of().tables:
            if other.is_list:
                continue
            is_below, speaking = _is_below(other, table), _speaking(other, table)
            rows = self.rows(other.title)
            if is_below:
                its_own = [_names(row, len(names)) == names for row in rows]
                pairs = zip(rows, its_own, strict=True)
                rows = [[*row[:depth], to, *row[depth + 1 :]] if is_its_own else row for row, is_its_own in pairs]
            else:
                rows = [_named_by(other, table, row, names, to) for row in rows]
            spoken = [_spoken_of(row, speaking, names[-1], to) for row in rows]
            grids[other.title] = [self.grids[other.title][0], *spoken]
        return Draft(grids)

    def without(self, title: str, names: Names) -> Draft:
        """Take a row away, and the rows of other sheets that stand below it."""
        table = layout_of().titled(title)
        grids = {
            other: [
                grid[0],
                *(row for row in grid[1:] if not (_is_under(other, table) and _names(row, len(names)) == names)),
            ]
            for other, grid in self.grids.items()
        }
        return Draft(grids)

    def copied(self, title: str, names: Names, to: str) -> Draft:
        """Copy a row under another name, and the rows of other sheets that stand below it.

        Raises
        ------
        StudyError
            The new name is empty, or there is such a row already.
        """
        new = (*names[:-1], to.strip())
        if not new[-1]:
            raise StudyError(f"a name for the copy of {quoted(names[-1])} was expected")
        if new in self.names(title):
            raise StudyError(f"{quoted(new[-1])} is there already; another name for the copy was expected")
        table, depth = layout_of().titled(title), len(names) - 1
        grids = dict(self.grids)
        for other, grid in self.grids.items():
            if _is_under(other, table):
                rows = [row for row in grid[1:] if _names(row, len(names)) == names]
                copies = [[*row[:depth], new[-1], *row[depth + 1 :]] for row in rows]
                last = max((at for at, row in enumerate(grid) if at and _names(row, len(names)) == names), default=0)
                grids[other] = [*grid[: last + 1], *copies, *grid[last + 1 :]] if last else grid
        return Draft(grids)

    def moved(self, title: str, names: Names, by: int) -> Draft:
        """Move a row up (minus) or down among its own kind; operations are passed in the order of their rows."""
        rows, count = list(self.rows(title)), len(names)
        alike = [at for at, row in enumerate(rows) if _names(row, count)[:-1] == names[:-1]]
        here = next((at for at, number in enumerate(alike) if _names(rows[number], count) == names), None)
        if here is None or not 0 <= here + by < len(alike):
            return self
        at, there = alike[here], alike[here + by]
        rows.insert(there, rows.pop(at))
        return self.with_rows(title, rows)


def _names(row: list[Raw], count: int) -> Names:
    """Return the first names of a row; a name is empty where nothing is filled in."""
    return tuple("" if cell is None else str(cell).strip() for cell in row[:count])


def _is_below(other: Table, table: Table) -> bool:
    """Whether a sheet holds the rows of another or rows within those."""
    return bool(table.path) and other.path[: len(table.path)] == table.path


def _is_under(title: str, table: Table) -> bool:
    """As `_is_below`, of a sheet by its name; the sheet of further entries is under none."""
    known = {other.title: other for other in layout_of().tables}
    return title in known and _is_below(known[title], table)


def _named_by(other: Table, table: Table, row: list[Raw], names: Names, to: str) -> list[Raw]:
    """Return a row that has the name of the row that was renamed among its own, with the new one."""
    keys = [_SAME.get(key, key) for key in other.keys]
    is_same_line = "line" not in keys or table.keys[0] != "line" or row[keys.index("line")] == names[0]
    if table.keys[-1] not in keys or not is_same_line:
        return row
    at = keys.index(table.keys[-1])
    return [*row[:at], to, *row[at + 1 :]] if row[at] == names[-1] else row


def _speaking(other: Table, table: Table) -> list[int]:
    """Return which columns of a sheet hold names of the rows of another, counted from its first column."""
    offers = [offer_of(column, layout_of()) for column in other.columns]
    return [at for at, offer in enumerate(offers, start=len(other.keys)) if offer and offer.title == table.title]


def _spoken_of(row: list[Raw], speaking: list[int], name: str, to: str) -> list[Raw]:
    """Return a row with another name in those cells that speak of it."""
    for at in speaking:
        cell = row[at] if at < len(row) else None
        parts = [part.strip() for part in cell.split(",")] if isinstance(cell, str) else []
        if name in parts:
            row = [*row[:at], ", ".join(to if part == name else part for part in parts), *row[at + 1 :]]
    return row
