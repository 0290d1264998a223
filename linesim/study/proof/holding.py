"""Which rows are held back: the last third by date, cutter by cutter, machine by machine."""

from __future__ import annotations

from collections.abc import Callable, Hashable, Iterator, Sequence
from dataclasses import dataclass

from linesim.records.reading import Record

__all__ = ["WAYS", "Held", "held_back"]

WAYS = ("by time", "by cutter", "by machine")
_MOST_PARTS = 10
_LEAST_DATED = 9


@dataclass(frozen=True)
class Held:
    """One way to part the rows.

    Attributes
    ----------
    way : str
        One of `WAYS`.
    known, held : tuple of Record
        What is fitted, and what is foretold.
    """

    way: str
    known: tuple[Record, ...]
    held: tuple[Record, ...]


def held_back(rows: Sequence[Record]) -> Iterator[Held]:
    """All ways to part the rows of one set.

    The last third by date, where every row has one; each cutter in its turn (its edge's number where the shop numbers
    them, else its row; in ten parts where there are more); each machine in its turn, where there are several.
    """
    if len(rows) >= _LEAST_DATED and all(row.when is not None for row in rows):
        ordered = sorted(rows, key=lambda row: str(row.when))
        cut = len(ordered) - len(ordered) // 3
        yield Held("by time", tuple(ordered[:cut]), tuple(ordered[cut:]))
    yield from _in_turn("by cutter", rows, _cutter)
    if all(row.name("machine") for row in rows):
        yield from _in_turn("by machine", rows, lambda row: row.name("machine"))


def _cutter(row: Record) -> Hashable:
    """What tells one cutter from another."""
    edge = row.name("edge")
    return (row.name("machine"), edge) if edge else (row.file, row.row)


def _in_turn(way: str, rows: Sequence[Record], name: Callable[[Record], Hashable]) -> Iterator[Held]:
    """Rows of each name held back in turn; names are dealt to ten parts where there are more."""
    names = list(dict.fromkeys(map(name, rows)))
    part = {each: at % _MOST_PARTS for at, each in enumerate(names)}
    for number in range(min(len(names), _MOST_PARTS) if len(names) > 1 else 0):
        known = tuple(row for row in rows if part[name(row)] != number)
        yield Held(way, known, tuple(row for row in rows if part[name(row)] == number))
