"""When and from what a sheet was made, as its foot says it; days as its reader writes them."""

from __future__ import annotations

from datetime import date

from linesim import __version__
from linesim.words import say

__all__ = ["day_words", "made_values", "made_words"]

_SHOWN = 10


def day_words(day: date) -> str:
    """A day as the reader writes it.

    >>> day_words(date(2031, 4, 1))
    '2031-04-01'
    """
    return say("format.date", year=day.year, month=day.month, day=day.day)


def made_values(digest: str, today: date) -> dict[str, str]:
    """What the foot of every sheet says: date, version, and from which scenario."""
    return {"date": day_words(today), "version": __version__, "scenario": digest[:_SHOWN]}


def made_words(digest: str, today: date, runs: int = 0) -> str:
    """When a sheet was made, by which version, from which scenario and, where there are any, how many runs of it."""
    values = made_values(digest, today)
    return say("sheet.from_runs", count=runs, **values) if runs else say("sheet.made", **values)
