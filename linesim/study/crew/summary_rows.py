"""Rows of a run in short that are made when they are read: shares of time, and money by item and line."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import overload

import numpy as np

from linesim.ledger import ITEMS
from linesim.plan.tables import Floats
from linesim.plan.tally import State
from linesim.study.crew.summary import Row, RunSummary, ratio

__all__ = ["Rows", "ledger_rows_of", "time_rows_of"]


class Rows(Sequence[Row]):
    """Rows with a head in common, kept as a block of numbers; a study of thousands of runs could not hold them else.

    Parameters
    ----------
    head : dict
        Stands in every row.
    places : sequence of dict
        What the rows of the block belong to.
    inner : sequence of str
        What its columns belong to.
    names : tuple of two str
        Keys under which a row carries the second of these and the number.
    block : array of float, (places, inner)
        The numbers.
    """

    def __init__(
        self, head: Row, places: Sequence[Row], inner: Sequence[str], names: tuple[str, str], block: Floats
    ) -> None:
        self._head, self._places, self._inner, self._names, self._block = head, places, inner, names, block

    def __len__(self) -> int:
        return len(self._places) * len(self._inner)

    @overload
    def __getitem__(self, at: int) -> Row: ...
    @overload
    def __getitem__(self, at: slice) -> list[Row]: ...
    def __getitem__(self, at: int | slice) -> Row | list[Row]:
        """One row, or several."""
        if isinstance(at, slice):
            return [self[number] for number in range(*at.indices(len(self)))]
        if not -len(self) <= at < len(self):
            raise IndexError(f"there is no row {at} among {len(self)}")
        place, column = divmod(at % len(self), len(self._inner))
        of, number = self._names
        return {**self._head, **self._places[place], of: self._inner[column], number: float(self._block[place, column])}

    def __iter__(self) -> Iterator[Row]:
        of, number = self._names
        for place, values in zip(self._places, self._block.tolist(), strict=True):
            head = self._head | place
            for name, value in zip(self._inner, values, strict=True):
                yield {**head, of: name, number: value}

    def __eq__(self, other: object) -> bool:
        return isinstance(other, Sequence) and list(self) == list(other)

    __hash__ = None  # type: ignore[assignment]


_STATES = tuple(state.words for state in State)


def time_rows_of(summary: RunSummary, head: Row) -> Rows:
    """Share of time that each machine spends in each state: line, operation, machine, state, share."""
    places = [{"line": line, "operation": operation, "machine": name} for line, operation, name in summary.machines]
    return Rows(head, places, _STATES, ("state", "share"), summary.shares)


def ledger_rows_of(summary: RunSummary, head: Row) -> Rows:
    """Money per good part, by item and line, and for the whole works: line, item, per_good_part."""
    lines = [str(row["line"]) for row in summary.figures]
    shipped = [int(row["shipped"]) for row in summary.figures]
    spent = [[each / 100.0 for each in row] for row in summary.minor_units.tolist()]
    spent.append([sum(of_lines) for of_lines in zip(*spent, strict=True)])
    money = [[ratio(each, parts) for each in row] for row, parts in zip(spent, shipped, strict=True)]
    block = np.array(money, dtype=np.float64).T
    return Rows(head, [{"item": item} for item in ITEMS], lines, ("line", "per_good_part"), block)
