"""What the ledger is made of: items, the heads of its rows, and the entries of one run."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from enum import StrEnum
from typing import NamedTuple, Protocol

import numpy as np

from linesim.ledger.sharing import Groups
from linesim.plan.tables import Floats, Ints
from linesim.plan.tally import Tally

__all__ = [
    "COLUMNS", "ITEMS", "WHOLE_LINE", "WORKS", "Cost", "Entries", "Head", "Item", "Location", "Priced", "Shared",
    "priced", "to_minor_units",
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
    MAINTENANCE = "maintenance"
    TRANSPORT = "transport and pallets"
    GAUGING = "gauging"
    STOCK = "stock in process"
    QUALITY_LOSS = "quality loss"
    REPAIRS = "repairs of parts"
    FIELD = "field failures"
    OUT_OF_DRAWING = "out of drawing"


ITEMS: tuple[str, ...] = tuple(item.value for item in Item)
"""All items in reading order."""

COLUMNS = ("line", "operation", "item", "cause", "what", "quantity", "unit", "price", "minor_units")
"""Columns of the ledger; minor units are hundredths of the scenario's currency, int64."""

WHOLE_LINE = "whole line"
"""Stands for the operation where an amount belongs to none of them."""

WORKS = "works"
"""Stands for the operation where an amount is a line's share in something of the whole works."""


class Location(NamedTuple):
    """Line and operation that an amount belongs to."""

    line: str
    operation: str


class Head(NamedTuple):
    """What a row of the ledger stands for; the same in every run of a plan.

    Attributes
    ----------
    location : Location
        Line and operation.
    item : Item
        What the money is spent on.
    cause, what : str
        Why, and on which thing.
    unit : str
        Unit of the quantity.
    turn : int
        Number of the operation, where rows of one item that come from several costs are read operation by operation.
    """

    location: Location
    item: Item
    cause: str
    what: str
    unit: str
    turn: int = 0


class Entries(NamedTuple):
    """What a run enters under some heads, one figure for each.

    Attributes
    ----------
    quantity : array of float, (heads,)
        In the unit of the head.
    price : array of float, (heads,)
        Money per unit; negative for what comes in.
    minor_units : array of int, (heads,)
        The amount in hundredths of the currency, rounded once.
    """

    quantity: Floats
    price: Floats
    minor_units: Ints


class Cost(Protocol):
    """One cost of a plan: the heads of its rows, and what a run enters under them."""

    @property
    def heads(self) -> Sequence[Head]:
        """Heads of its rows, in the order in which they are read within an item."""

    def entries(self, tally: Tally) -> Entries:
        """What a run has cost, one entry for each head."""


def to_minor_units(money: Floats) -> Ints:
    """Money as whole hundredths, a half going to the even one.

    >>> to_minor_units(np.array([0.125, 0.375])).tolist()
    [12, 38]
    """
    return np.rint(100.0 * money).astype(np.int64)


def priced(quantity: Floats, price: Floats) -> Entries:
    """Entries of quantities at prices, each amount rounded by itself."""
    return Entries(quantity, price, to_minor_units(quantity * price))


@dataclass(frozen=True, eq=False)
class Priced:
    """A cost of so much of something at a fixed price each.

    Attributes
    ----------
    heads : sequence of Head
        Of its rows.
    price : array of float, (heads,)
        Money per unit.
    quantity : callable
        From a tally to how much there was of each, (heads,).
    """

    heads: Sequence[Head]
    price: Floats
    quantity: Callable[[Tally], Floats]

    def entries(self, tally: Tally) -> Entries:
        """What a run has cost, one entry for each head."""
        return priced(self.quantity(tally), self.price)


@dataclass(frozen=True, eq=False)
class Shared:
    """Costs of which only a total is known, each shared out over heads of its own without a minor unit lost.

    Attributes
    ----------
    heads : sequence of Head
        Of its rows, cost after cost.
    groups : Groups
        How many heads each cost has, at least one.
    price : array of float, (costs,)
        Money per unit.
    amounts : callable
        From a tally to how much there was of each, (costs,), and to the weights by which heads share, (heads,): 0 or
        more; equal shares where all of a cost are 0.
    """

    heads: Sequence[Head]
    groups: Groups
    price: Floats
    amounts: Callable[[Tally], tuple[Floats, Floats]]

    def entries(self, tally: Tally) -> Entries:
        """What a run has cost, one entry for each head; each total is rounded once."""
        if not len(self.heads):
            return Entries(np.zeros(0), np.zeros(0), np.zeros(0, dtype=np.int64))
        totals, weights = self.amounts(tally)
        shares, of = self.groups.shares(weights), self.groups.of
        minor_units = self.groups.share_out(to_minor_units(totals * self.price), shares)
        return Entries(totals[of] * shares, self.price[of], minor_units)
