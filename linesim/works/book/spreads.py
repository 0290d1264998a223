"""A time that is drawn anew each time, in three cells instead of one: about how long, how it spreads, and by how much.

A workbook has it in one cell, in words: ``60 lognormal 0.8``; as a file would say it, ``{lognormal: {mean: 60, cv:
0.8}}``, is read as well. Where it is typed in a browser, each of its figures has a cell of its own.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from typing import Any, NamedTuple

from linesim.works.book.figures import with_point
from linesim.works.book.spots import Raw

__all__ = [
    "BY_HELP",
    "KINDS",
    "KIND_HELP",
    "Parts",
    "entries_of",
    "fault_of",
    "joined",
    "parted",
    "read_by",
    "shown_by",
]

_LISTS: Mapping[str, str] = {"drawn from a list": "listed", "a list in order": "in_order"}
"""Words for times as they were taken, with their names in a scenario; all their figures stand in the third cell."""

_TWO: Mapping[str, tuple[str, ...]] = {
    "exponential": ("mean",), "lognormal": ("mean", "cv"), "gamma": ("mean", "cv"), "erlang": ("mean", "phases"),
    "weibull": ("mean", "shape"), "uniform": ("low", "high"),
}  # fmt: skip
"""Names of distributions with the entry of their first figure and, if they have one, of their second."""

_TRIANGULAR = "triangular"
KINDS: tuple[str, ...] = (*_TWO, _TRIANGULAR, *_LISTS)
"""How a time may spread, as it is chosen."""

KIND_HELP = (
    "How the time spreads; empty: always the same. Breakdowns at random: exponential. Repairs, of which a few take "
    "long: lognormal. Between a least and a most: uniform; about a most likely one: triangular. Times taken with a "
    "watch: drawn from a list, or a list in order."
)
BY_HELP = (
    "Of lognormal and gamma the standard deviation over the mean (such as 0.8), of Weibull the shape, of Erlang the "
    "number of phases, of uniform the most, in minutes; nothing for exponential. Of triangular the least and the most "
    "(2; 5), of a list all its times in minutes (2.1; 2.4; 1.9), the first column staying empty."
)

_CELL = re.compile(r"\{\s*[\"']?(\w+)[\"']?\s*:\s*\{([^{}]*)\}\s*\}")
_LIST = re.compile(r"\{\s*[\"']?(listed|in_order)[\"']?\s*:\s*\[([^][]*)\]\s*\}")
_FIGURE = r"-?\d+(?:\.\d+)?(?:[eE][+-]?\d+)?"
_ENTRY = re.compile(rf"[\"']?(\w+)[\"']?\s*:\s*({_FIGURE})")


_WORDED = re.compile(
    rf"(?:(?P<about>[^{{].*?)\s+)?(?P<kind>{'|'.join(KINDS)})(?:\s+(?:by\s+)?(?P<by>.*))?", re.IGNORECASE
)


class Parts(NamedTuple):
    """A time in three cells.

    Attributes
    ----------
    about : str, number or None
        The mean, the least of a uniform one, the most likely of a triangular one, in minutes; or the whole cell as it
        was written, if it is of another kind.
    kind : str or None
        One of `KINDS`; None for one that is always the same.
    by : float, str or None
        Its second figure, or further figures with semicolons between.
    """

    about: Raw = None
    kind: str | None = None
    by: float | str | None = None


def read_by(cell: Raw) -> float | str | None:
    """What was typed into the third cell: a figure if it is one, else the text.

    >>> read_by("0,8"), read_by(" 2; 5 "), read_by(None)
    (0.8, '2; 5', None)
    """
    if cell is None or isinstance(cell, (int, float)):
        return None if cell is None else float(cell)
    text = str(cell).strip()
    figures = _figures(text)
    return figures[0] if len(figures) == 1 and ";" not in text else text or None


def shown_by(by: float | str | None) -> str | None:
    """The third cell as it is shown."""
    return _exact(by) if isinstance(by, float) else by


def parted(cell: Raw) -> Parts:
    """The three cells of a time.

    Parameters
    ----------
    cell : str, number or None
        As a workbook has it.

    Returns
    -------
    Parts

    >>> parted('{"lognormal": {"mean": 60.0, "cv": 0.8}}') == parted("60 lognormal 0.8")
    True
    >>> parted("60 lognormal 0.8")
    Parts(about=60.0, kind='lognormal', by=0.8)
    >>> parted("3 min"), parted("{listed: [2.1, 3]}")
    (Parts(about='3 min', kind=None, by=None), Parts(about=None, kind='drawn from a list', by='2.1; 3'))
    """
    text = cell.strip() if isinstance(cell, str) else ""
    match, times, worded = _CELL.fullmatch(text), _LIST.fullmatch(text), _WORDED.fullmatch(text)
    if worded is not None:
        about = read_by(worded["about"])
        return Parts(about, worded["kind"].casefold(), read_by(worded["by"]))
    if times is not None:
        figures = _figures(times[2].replace(",", ";"))
        kind = next(kind for kind, name in _LISTS.items() if name == times[1])
        return Parts(None, kind, _behind(figures)) if figures else Parts(cell)
    if match is None:
        return Parts(cell)
    entries = [_ENTRY.fullmatch(entry.strip()) for entry in match[2].split(",") if entry.strip()]
    values = {entry[1]: float(entry[2]) for entry in entries if entry is not None}
    names = ("low", "mode", "high") if match[1] == _TRIANGULAR else _TWO.get(match[1], ())
    is_whole = None not in entries and len(values) == len(entries) and set(values) <= set(names)
    if not is_whole or (match[1] == _TRIANGULAR and len(values) < len(names)):
        return Parts(cell)
    if match[1] == _TRIANGULAR:
        return Parts(values["mode"], _TRIANGULAR, _behind([values["low"], values["high"]]))
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

    >>> joined(Parts(900.0, "exponential")), joined(Parts(3.0, "triangular", "2; 5"))
    ('900 exponential', '3 triangular 2; 5')
    """
    if parted(before) == parts:
        return before
    if parts.kind is None and parts.by is None:
        return parts.about
    by = shown_by(parts.by) or ""
    words = [_text(parts.about), parts.kind or "", f"by {by}" if by and parts.kind is None else by]
    return " ".join(word for word in words if word)


def entries_of(parts: Parts, unit: str = "") -> dict[str, Any]:
    """What a scenario says of a time in which there is no fault.

    Parameters
    ----------
    parts : Parts
        With a kind.
    unit : str
        Of its figures, if they are not in minutes.

    >>> entries_of(parted("3 triangular 2; 5")), entries_of(parted("1 exponential"), "h")
    ({'triangular': {'low': 2.0, 'mode': 3.0, 'high': 5.0}}, {'exponential': {'mean': '1 h'}})
    """

    def timed(figure: Any) -> Any:
        return f"{_exact(figure)} {unit}" if unit else figure

    assert parts.kind is not None
    if parts.kind in _LISTS:
        return {_LISTS[parts.kind]: [timed(figure) for figure in _figures(parts.by)]}
    if parts.kind == _TRIANGULAR:
        low, high = _figures(parts.by)
        return {_TRIANGULAR: {"low": timed(low), "mode": timed(parts.about), "high": timed(high)}}
    first, *second = _TWO[parts.kind]
    by = timed(parts.by) if second == ["high"] else parts.by
    return {parts.kind: {first: timed(parts.about)} | {name: _whole(name, by) for name in second}}


def _whole(name: str, by: Any) -> Any:
    """A number of phases is a whole one."""
    return int(by) if name == "phases" and by == int(by) else by


def fault_of(parts: Parts) -> str:
    """What is wrong with three cells, in words that say which of them to mend; empty if nothing is.

    >>> fault_of(Parts(60.0, "lognormal"))
    'lognormal needs a second figure: the standard deviation over the mean, such as 0.8'
    """
    shown, figures = shown_by(parts.by), _figures(parts.by)
    if parts.kind is None:
        return "" if parts.by is None else f"{shown} says by how much it spreads, but not how; choose how"
    if parts.kind in _LISTS:
        return _fault_of_list(parts, figures)
    first, second = (*_TWO.get(parts.kind, ("mode", "two")), "")[:2]
    if not isinstance(parts.about, (int, float)):
        what = "nothing" if parts.about is None else f'"{parts.about}"'
        return f"{what} was found where {_FIRST.get(first, 'the mean')} is expected, a number of minutes"
    if parts.by is None:
        return f"{parts.kind} needs {_WORDS[second]}" if second else ""
    if not second:
        return f"{parts.kind} has no second figure; take {shown} away"
    count = 2 if second == "two" else 1
    return "" if len(figures) == count else f'"{shown}" was found; {parts.kind} needs {_WORDS[second]}'


def _fault_of_list(parts: Parts, figures: list[float]) -> str:
    if not figures:
        what = "nothing" if parts.by is None else f'"{parts.by}"'
        return f"{what} was found where the times are expected, in minutes with semicolons between, such as 2.1; 2.4"
    return "" if parts.about is None else f"all times stand together; take {_text(parts.about)} away, or put it to them"


_FIRST = {"low": "the least", "mode": "the most likely time"}
_WORDS = {
    "cv": "a second figure: the standard deviation over the mean, such as 0.8",
    "phases": "a second figure: the number of its phases, such as 3", "shape": "a second figure: its shape, such as 2",
    "high": "a second figure: the most, in minutes", "two": "the least and the most, in minutes, such as 2; 5",
}  # fmt: skip


def _figures(by: float | str | None) -> list[float]:
    """Figures with semicolons between; none if any of them is no figure."""
    if by is None or isinstance(by, float):
        return [] if by is None else [by]
    figures = [re.fullmatch(_FIGURE, with_point(each.strip()) or "") for each in by.split(";") if each.strip()]
    return [float(each[0]) for each in figures if each is not None] if None not in figures else []


def _behind(figures: list[float]) -> str:
    """Figures one behind another."""
    return "; ".join(map(_exact, figures))


def _exact(figure: float) -> str:
    """A figure in as few signs as bring it back."""
    short = f"{figure:.15g}"
    return short if float(short) == figure else repr(figure)


def _text(cell: Raw) -> str:
    return "" if cell is None else _exact(cell) if isinstance(cell, (int, float)) else str(cell)
