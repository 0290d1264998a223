"""The manual for users: one page for each topic, as Markdown beside this file."""

from __future__ import annotations

from functools import cache
from importlib.resources import files

from linesim.errors import LinesimError

__all__ = ["TOPICS", "page"]

TOPICS: dict[str, str] = {
    "start": "Begin: two commands, and what you see",
    "scenario": "Write a scenario: a line of your own",
    "workbook": "My line in a workbook: for a spreadsheet program",
    "entries": "Every entry of a scenario, with its unit and what holds without it",
    "records": "The shop's own records: reading, figures with intervals, into a scenario",
    "model": "What the line does, and what is assumed",
    "policies": "When to change the cutters: compare, frontier, intervals, sets, worth, drivers",
    "office": "The tool room's plan, the brief, approvals, and reports for the office",
    "routing": "How to cut: variants, the account of an error, stock, speed, what it means in the engine",
    "practice": "What every practitioner knows, held against a works",
    "lessons": "Run the shift yourself: lessons for setters",
    "browser": "linesim in the browser",
    "serving": "Serve it to others: names, sign-in, bounds",
    "keeping": "Runs are kept: stores, workers, clusters",
    "python": "From Python, and rules of your own",
    "trust": "How far to trust it",
    "changes": "What changed in the second edition",
    "words": "Words of the trade, as they are meant here",
    "cautions": "Before anyone changes a cutter",
}
"""Topics in the order in which they are read, each with what it is about."""


@cache
def page(topic: str) -> str:
    """Text of one page.

    Parameters
    ----------
    topic : str
        One of `TOPICS`.

    Returns
    -------
    str
        Markdown.

    Raises
    ------
    LinesimError
        There is no such topic.

    Examples
    --------
    >>> page("cautions").splitlines()[0]
    '# Before anyone changes a cutter'
    """
    if topic not in TOPICS:
        raise LinesimError(f'there is no page "{topic}" in the manual; there are: {", ".join(TOPICS)}')
    return files(__package__).joinpath(f"{topic}.md").read_text(encoding="utf-8")
