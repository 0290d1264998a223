"""Typical figures that stand in for what a shop has not given, and the marks by which they are known where they stand.

A mark names the figure and what it was: ``buffer 2``. It counts for as long as the entry has that value, so that a
figure which somebody has put in himself is never called assumed.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from functools import cache
from typing import Any

from linesim.works.durations import Spread
from linesim.yaml_text import data_of

__all__ = ["Typical", "marked", "marks_of", "still_assumed", "typical"]


@dataclass(frozen=True)
class Typical:
    """A typical figure.

    Attributes
    ----------
    word : str
        By which marks name it.
    at : tuple of str
        The entry within its part.
    figure : str
        What it is, in words.
    value : float
        In the scenario's own unit; a factor where `figure` says of what.
    unit : str
        As shown; ``{currency}`` stands for the scenario's.
    typical_of, source : str
        Where such a figure is found, and where this one is from.
    """

    word: str
    at: tuple[str, ...]
    figure: str
    value: float
    unit: str
    typical_of: str
    source: str

    @property
    def reason(self) -> str:
        """What it is typical of, and its source."""
        return f"typical of {self.typical_of}; {self.source}"

    def shown(self, text: str, currency: str) -> str:
        """A value with its unit."""
        return f"{text} {self.unit.format(currency=currency)}".strip()


@cache
def typical() -> Mapping[str, Mapping[str, Typical]]:
    """Return the typical figures by part (operation, cutter, line, people, calendar) and word."""
    return {
        part: {word: Typical(word, tuple(entry.pop("at").split(".")), **entry) for word, entry in entries.items()}
        for part, entries in data_of("linesim.works", "typical.yaml").items()
    }


def marked(word: str, value: float) -> str:
    """Return the mark of a figure that stands in.

    >>> marked("buffer", 2), marked("life", 312.5), marked("life scatter", 0.22)
    ('buffer 2', 'life 312.5', 'life scatter 0.22')
    """
    return f"{word} {_text(value)}"


def marks_of(part: str, entries: list[str]) -> Iterator[tuple[str, Typical | None, str]]:
    """Yield each mark with the typical figure that it names and the value it had; None for a mark that names none."""
    words = sorted(typical()[part], key=len, reverse=True)
    for mark in entries:
        word = next((word for word in words if mark.startswith(f"{word} ")), "")
        yield mark, typical()[part].get(word), mark[len(word) + 1 :]


def still_assumed(part: str, thing: Any) -> Iterator[tuple[Typical, str]]:
    """Yield the figures of a part that still stand in, each with its value.

    Parameters
    ----------
    part : str
        Kind of part, as `typical` has it.
    thing : Strict
        With an entry ``assumed``.
    """
    for _, figure, was in marks_of(part, thing.assumed):
        if figure is not None and _text(_at(thing, figure.at)) == was:
            yield figure, was


def _at(thing: Any, at: tuple[str, ...]) -> Any:
    """Return what stands at an entry now."""
    for name in at:
        thing = getattr(thing, name, None)
    return thing.fixed if isinstance(thing, Spread) else thing


def _text(value: Any) -> str:
    """Return a figure as marks write it; nothing of what is none."""
    return f"{value:.6g}" if isinstance(value, (int, float)) else ""
