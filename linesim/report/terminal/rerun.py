"""What became of the figures of a report when its question was asked again."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from rich.console import Group
from rich.text import Text

from linesim.report.theme.grid import Column, grid, plain

__all__ = ["rerun_text"]

_MOST_ROWS = 20


def rerun_text(
    command: str, answer: Mapping[str, Any], differing: Sequence[tuple[str, str, str]], is_whole: bool
) -> Group:
    """Whether the figures are the same, and which are not.

    Parameters
    ----------
    command : str
        What was asked again.
    answer : mapping
        The new report.
    differing : sequence of tuple
        Where, what was, what is.
    is_whole : bool
        The old report held its figures; else there is only the new answer to be read.

    Returns
    -------
    rich.console.Group
    """
    sentences = [Text(f"- {plain(sentence)}") for sentence in answer.get("sentences", [])]
    if not is_whole:
        return Group(Text(f"linesim {command}, asked again; the file held no figures to compare."), *sentences)
    if not differing:
        return Group(Text(f"linesim {command}, asked again: every figure is the same, to the last digit."), *sentences)
    columns = [Column("figure", True, 40), Column("was", True, 28), Column("is", True, 28)]
    more = len(differing) - _MOST_ROWS
    last = [Text(f"and {more} others")] if more > 0 else []
    count = "one figure is" if len(differing) == 1 else f"{len(differing)} figures are"
    head = f"linesim {command}, asked again: {count} not the same"
    return Group(grid(head, columns, differing[:_MOST_ROWS]), *last)
