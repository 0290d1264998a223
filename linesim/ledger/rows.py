"""Rows of the ledger, and how an amount is shared out without a penny lost."""

from __future__ import annotations

from collections.abc import Sequence
from enum import StrEnum
from typing import NamedTuple

import numpy as np
import pandas as pd

from linesim.plan.tables import Ints

__all__ = [
    "COLUMNS", "ITEMS", "WHOLE_LINE", "WORKS", "Item", "Place", "Rows", "Target", "share_out", "to_pence",
]  # fmt: skip


class Item(StrEnum):
    """What money is spent on, in the order in which it is read."""

    CASTINGS = "castings"
    MACHINE_HOURS = "machine hours"
    LABOUR = "labour"
    SETTERS = "setters"
    FITTERS = "fitters"
    NEW_CUTTERS = "new cutters"
    REGRINDS = "regrinds"
    IN_PLACE = "dressings and indexing"
    SCRAP = "scrap"
    RECUTS = "recuts"
    SALVAGE = "salvage"
    GAUGING = "gauging"
    STOCK = "stock in process"
    QUALITY_LOSS = "quality loss"


ITEMS: tuple[str, ...] = tuple(item.value for item in Item)
"""All items in reading order."""

COLUMNS = ("line", "operation", "item", "cause", "what", "quantity", "unit", "price", "pence")
"""Columns of the ledger; pence are hundredths of the scenario's currency, int64."""

WHOLE_LINE = "whole line"
"""Stands for the operation where an amount belongs to none of them."""

WORKS = "works"
"""Stands for the operation where an amount is a line's share in something of the whole works."""


class Place(NamedTuple):
    """Line and operation that an amount belongs to."""

    line: str
    operation: str


class Target(NamedTuple):
    """Where a share of an amount goes, and its weight among the others (0 or more)."""

    place: Place
    item: Item
    cause: str
    what: str
    weight: float


def to_pence(money: float) -> int:
    """Money as whole hundredths, a half going to the even one.

    >>> to_pence(0.125), to_pence(0.375)
    (12, 38)
    """
    return round(100.0 * money)


def share_out(total: int, weights: Sequence[float]) -> Ints:
    """Share a whole number out in proportion to weights, by largest remainder, so that the shares add up to it.

    Parameters
    ----------
    total : int
        May be negative.
    weights : sequence of float
        0 or more, at least one of them; equal shares if all are 0.

    Returns
    -------
    array of int
        One share for each weight. Among equal remainders the first is served first.

    Notes
    -----
    Source: the method of Hamilton, in use for sharing out seats (common knowledge).

    >>> share_out(100, [1.0, 1.0, 1.0]).tolist()
    [34, 33, 33]
    """
    exact = total * _shares(weights)
    shares = np.floor(exact).astype(np.int64)
    # Floating remainders may come out a whole unit wrong either way: divmod puts right both.
    each, left = divmod(total - int(shares.sum()), len(shares))
    shares += each
    order = np.argsort(shares - each - exact, kind="stable")
    shares[order[:left]] += 1
    return shares


def _shares(weights: Sequence[float]) -> np.ndarray[tuple[int], np.dtype[np.float64]]:
    """Weights as shares of 1; equal ones if there is nothing to go by."""
    given = np.asarray(weights, dtype=np.float64)
    whole = float(given.sum())
    return given / whole if whole > 0.0 else np.full(len(given), 1.0 / len(given))


class Rows:
    """Collects the rows of a ledger."""

    def __init__(self) -> None:
        self._rows: list[tuple[str, str, str, str, str, float, str, float, int]] = []

    def add(self, place: Place, item: Item, cause: str, what: str, quantity: float, unit: str, price: float) -> None:
        """Enter a quantity at a price; nothing is entered where either is 0.

        Parameters
        ----------
        place : Place
            Line and operation.
        item : Item
            What the money is spent on.
        cause, what : str
            Why, and on which thing.
        quantity, unit : float, str
            How much of what unit.
        price : float, money per unit
            Negative for what comes in.
        """
        self._enter(place, item, cause, what, quantity, unit, price, to_pence(quantity * price))

    def add_shared(self, targets: Sequence[Target], quantity: float, unit: str, price: float) -> None:
        """Enter one amount, rounded once, over several targets in proportion to their weights.

        Parameters
        ----------
        targets : sequence of Target
            At least one, or nothing is entered.
        quantity, unit, price : float, str, float
            As for `add`.
        """
        if not targets:
            return
        weights = [target.weight for target in targets]
        pence = share_out(to_pence(quantity * price), weights).tolist()
        for target, share, amount in zip(targets, _shares(weights).tolist(), pence, strict=True):
            place, item, cause, what, _ = target
            self._enter(place, item, cause, what, quantity * share, unit, price, amount)

    def _enter(
        self, place: Place, item: Item, cause: str, what: str, quantity: float, unit: str, price: float, pence: int
    ) -> None:
        if (quantity and price) or pence:
            row = (place.line, place.operation, item.value, cause, what, float(quantity), unit, float(price), pence)
            self._rows.append(row)

    def sums(self, lines: Sequence[str]) -> Ints:
        """Sums by line and item, (lines, items), in hundredths of the currency; items in reading order."""
        line_number = {line: number for number, line in enumerate(lines)}
        item_number = {item: number for number, item in enumerate(ITEMS)}
        sums = np.zeros((len(lines), len(ITEMS)), dtype=np.int64)
        for row in self._rows:
            sums[line_number[row[0]], item_number[row[2]]] += row[8]
        return sums

    def frame(self) -> pd.DataFrame:
        """The rows as a table with the columns of `COLUMNS`, item by item in reading order."""
        order = {item: number for number, item in enumerate(ITEMS)}
        rows = sorted(self._rows, key=lambda row: order[row[2]])
        frame = pd.DataFrame(rows, columns=list(COLUMNS))
        numbers = {"quantity": "float64", "price": "float64", "pence": "int64"}
        return frame.astype({name: numbers.get(name, "str") for name in COLUMNS})
