"""The first sheet of a workbook: how to fill in the others, and what each of them is for."""

from __future__ import annotations

from linesim.works.book.further import FURTHER
from linesim.works.book.layout import Table

__all__ = ["FURTHER_NOTE", "cover_rows"]

FURTHER_NOTE = "What no other sheet holds, by its path; groups in braces, as a file of text would say them."

_HOW = (
    "This workbook describes one works: its lines, from rough casting to finished part.",
    "Each row is one thing with a name; each column says one thing about it. The note on a heading says what it means.",
    "What is left empty holds its usual value. Fill in what you know; add columns only as they are needed.",
    "Figures are in the unit of the heading. Another unit may stand in the cell (0.125 in, 8 h), or in the heading.",
    "A decimal comma may be typed for a point. A time may be drawn: 3 lognormal 0.2 (mean, deviation over mean).",
    "Columns that hold nothing are folded away: a click on the + above the sheet shows them.",
    "Sheets that hold nothing are hidden: a right click on a sheet's name brings them back.",
    'A row that begins with "e.g." shows how, and is not read. Columns and sheets named "note ..." are yours alone.',
    "The first policy is the practice of today, unless the sheet Works names another one.",
    "Check it: linesim check my-line.xlsx    Run it: linesim run my-line.xlsx    Or open it in the dashboard.",
)


def cover_rows(tables: tuple[Table, ...], hidden: set[str]) -> list[tuple[str, str, str]]:
    """Return the rows of the first sheet.

    Parameters
    ----------
    tables : tuple of Table
        All sheets.
    hidden : set of str
        Names of those that are not in sight.

    Returns
    -------
    list of (str, str, str)
        A heading or a sheet, what is said of it, and whether it is hidden.
    """
    how = [("How to" if not number else "", text, "") for number, text in enumerate(_HOW)]
    names = [
        (table.title, table.note or "Entries that hold for the whole works.", _sight(table.title, hidden))
        for table in tables
    ]
    return [*how, ("", "", ""), ("Sheet", "A row is", ""), *names, (FURTHER, FURTHER_NOTE, _sight(FURTHER, hidden))]


def _sight(title: str, hidden: set[str]) -> str:
    """Return the word for a sheet that is not in sight."""
    return "hidden" if title in hidden else ""
