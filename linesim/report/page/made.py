"""When and from what a sheet was made, as its foot says it; days as its reader writes them."""

from __future__ import annotations

from datetime import date

from linesim import __version__
from linesim.report.theme.shown import day_words
from linesim.words import say

__all__ = ["day_words", "made_values", "made_words"]

_SHOWN = 10


def made_values(digest: str, today: date) -> dict[str, str]:
    """What the foot of every sheet says: date, version, and from which scenario."""
    return {"date": day_words(today), "version": __version__, "scenario": digest[:_SHOWN]}


def made_words(digest: str, today: date, runs: int = 0) -> str:
    """When a sheet was made, by which version, from which scenario and, where there are any, how many runs of it."""
    values = made_values(digest, today)
    return say("sheet.from_runs", count=runs, **values) if runs else say("sheet.made", **values)
