"""One entry of a scenario that comes from records, with its origin in words."""

from __future__ import annotations

from dataclasses import dataclass

from linesim.records.coefficient import Coefficient

__all__ = ["Entry", "entry_of", "origin_words", "short"]


@dataclass(frozen=True)
class Entry:
    """One entry of a scenario.

    Attributes
    ----------
    path : tuple of str
        Names from the top.
    value : float or str
        What stands there.
    origin : str
        Where it comes from.
    """

    path: tuple[str, ...]
    value: float | str
    origin: str


def entry_of(path: tuple[str, ...], each: Coefficient) -> Entry:
    """An entry that is a coefficient's value."""
    return Entry(path, short(each.interval.value), origin_words(each))


def origin_words(each: Coefficient) -> str:
    """The figure's interval, how far it is established, where it comes from, and what else is known of it."""
    span = f"{each.name} {each.interval.value:.4g} {each.unit}".strip()
    note = f"; {each.note}" if each.note else ""
    return f"{span}, 95 % {each.interval.low:.4g} to {each.interval.high:.4g}, {each.state}; {each.origin}{note}"


def short(value: float) -> float:
    """A figure to four digits, as the file shows it."""
    return float(f"{value:.4g}")
