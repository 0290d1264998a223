"""A time that is drawn anew each time, in three cells instead of one: about how long, how it spreads, and by how much.

A workbook has it in one cell, as a file would: ``{lognormal: {mean: 60, cv: 0.8}}``. Where it is typed in a browser,
each of its figures has a cell of its own.
"""

from __future__ import annotations

import json
import re
from collections.abc import Mapping
from typing import NamedTuple

from linesim.works.book.spots import Raw

__all__ = ["BY_HELP", "KINDS", "KIND_HELP", "Parts", "fault_of", "joined", "parted"]

KINDS: Mapping[str, tuple[str, ...]] = {
    "exponential": ("mean",), "lognormal": ("mean", "cv"), "gamma": ("mean", "cv"), "erlang": ("mean", "phases"),
    "weibull": ("mean", "shape"), "uniform": ("low", "high"),
}  # fmt: skip
"""Names of distributions with the entry of their first figure and, if they have one, of their second."""

KIND_HELP = (
    "How the time spreads; empty: always the same. Breakdowns at random: exponential. Repairs, of which a few take "
    "long: lognormal. Between a least and a most: uniform."
)
BY_HELP = (
    "Of lognormal and gamma the standard deviation over the mean (such as 0.8), of Weibull the shape, of Erlang the "
    "number of phases, of uniform the most, in minutes; nothing for exponential."
)

_CELL = re.compile(r"\{\s*[\"']?(\w+)[\"']?\s*:\s*\{([^{}]*)\}\s*\}")
_ENTRY = re.compile(r"[\"']?(\w+)[\"']?\s*:\s*(-?\d+(?:\.\d+)?(?:[eE]-?\d+)?)")


class Parts(NamedTuple):
    """A time in three cells.

    Attributes
    ----------
    about : str, number or None
        The mean, or the least of a uniform one, in minutes; or the whole cell as it was written, if it is of another
        kind.
    kind : str or None
        One of `KINDS`; None for one that is always the same.
    by : float or None
        Its second figure.
    """

    about: Raw = None
    kind: str | None = None
    by: float | None = None


def parted(cell: Raw) -> Parts:
    """The three cells of a time.

    Parameters
    ----------
    cell : str, number or None
        As a workbook has it.

    Returns
    -------
    Parts

    >>> parted('{"lognormal": {"mean": 60.0, "cv": 0.8}}')
    Parts(about=60.0, kind='lognormal', by=0.8)
    >>> parted("3 min"), parted("{listed: [1, 2]}")
    (Parts(about='3 min', kind=None, by=None), Parts(about='{listed: [1, 2]}', kind=None, by=None))
    """
    match = _CELL.fullmatch(cell.strip()) if isinstance(cell, str) else None
    names = KINDS.get(match[1]) if match is not None else None
    if match is None or names is None:
        return Parts(cell)
    entries = [_ENTRY.fullmatch(entry.strip()) for entry in match[2].split(",") if entry.strip()]
    values = {entry[1]: float(entry[2]) for entry in entries if entry is not None}
    if None in entries or len(values) != len(entries) or not set(values) <= set(names):
        return Parts(cell)
    return Parts(values.get(names[0]), match[1], values.get(names[1]) if len(names) > 1 else None)


def joined(parts: Parts, before: Raw = None) -> Raw:
    """One cell of three; what cannot be read is kept too, to be refused where all is read.

    Parameters
    ----------
    parts : Parts
        As typed.
    before : str, number or None
        What stood there; it stays as it was written if it says the same.

    Returns
    -------
    str, number or None

    >>> joined(Parts(900.0, "exponential"))
    '{"exponential": {"mean": 900.0}}'
    """
    if parted(before) == parts:
        return before
    if parts.kind is None:
        return parts.about if parts.by is None else f"{_text(parts.about)} by {parts.by:g}"
    names = (*KINDS[parts.kind], "by")[:2]
    if isinstance(parts.about, str):
        return f"{parts.about} {parts.kind}" + ("" if parts.by is None else f" by {parts.by:g}")
    entries = {name: value for name, value in zip(names, (parts.about, parts.by), strict=True) if value is not None}
    return json.dumps({parts.kind: entries})


def fault_of(parts: Parts) -> str:
    """What is wrong with three cells, in words that say which of them to mend; empty if nothing is.

    >>> fault_of(Parts(60.0, "lognormal"))
    'lognormal needs a second figure: the standard deviation over the mean, such as 0.8'
    """
    first, second = (*KINDS.get(parts.kind or "", ()), "", "")[:2]
    if parts.kind is None:
        return "" if parts.by is None else f"{parts.by:g} says by how much it spreads, but not how; choose how"
    if not isinstance(parts.about, (int, float)):
        shown = "nothing" if parts.about is None else f'"{parts.about}"'
        return f"{shown} was found where the {'least' if first == 'low' else 'mean'} is expected, a number of minutes"
    if parts.by is None and second:
        return f"{parts.kind} needs a second figure: {_WORDS[second]}"
    if parts.by is not None and not second:
        return f"{parts.kind} has no second figure; take {parts.by:g} away"
    return ""


_WORDS = {
    "cv": "the standard deviation over the mean, such as 0.8", "phases": "the number of its phases, such as 3",
    "shape": "its shape, such as 2", "high": "the most, in minutes",
}  # fmt: skip


def _text(cell: Raw) -> str:
    return "" if cell is None else f"{cell:g}" if isinstance(cell, (int, float)) else str(cell)
