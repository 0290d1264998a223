"""Lines that meet: where one of each goes into a part, the slowest of them sets the pace of all."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from linesim.errors import quoted
from linesim.works.model import Works

__all__ = ["meeting_words", "paces_together"]


def paces_together(works: Works, own: Mapping[str, float]) -> dict[str, tuple[str, float]]:
    """The pace of each line with those that it meets.

    Parts of one line are joined to those of another one for one, and what is taken off a part comes back to it, so that
    in the long run none of them ships more than the slowest gives. Scrap is left out.

    Parameters
    ----------
    works : Works
        The checked scenario.
    own : mapping of str to float
        Parts per hour that each line lets through by itself.

    Returns
    -------
    dict of str to tuple of str and float
        By line: the line that holds it back, itself if none that it meets is slower, and parts per hour.
    """
    group = {name: name for name in works.lines}
    for name, line in works.lines.items():
        for operation in line.operations.values():
            for other in {*operation.joins, *filter(None, [operation.takes_off])}:
                old, new = group[other], group[name]
                group = {each: new if of == old else of for each, of in group.items()}
    slowest: dict[str, str] = {}
    for name, of in group.items():
        if of not in slowest or own[name] < own[slowest[of]]:
            slowest[of] = name
    return {
        name: (slowest[of], own[slowest[of]]) if own[slowest[of]] < own[name] else (name, own[name])
        for name, of in group.items()
    }


def meeting_words(row: Mapping[Any, Any]) -> str:
    """A sentence on a row of the desk's constraints, with the space before it; empty where no other line is slower."""
    if row["held_by_line"] == row["line"]:
        return ""
    slowest = quoted(str(row["held_by_line"]))
    return f" With the lines that it meets it makes {row['together_per_hour']:.2f}: {slowest} gives no more."
