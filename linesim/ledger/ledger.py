"""The ledger of a plan: its rows are fixed, and a run fills in what each of them costs."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from functools import cached_property

import numpy as np
import pandas as pd

from linesim.ledger import (
    crib_costs,
    gauge_costs,
    later_costs,
    line_costs,
    people_costs,
    time_costs,
    transport_costs,
    upkeep_costs,
)
from linesim.ledger.entries import COLUMNS, ITEMS, Cost, Entries, Head
from linesim.ledger.sharing import summed
from linesim.plan.plan import Plan
from linesim.plan.tables import Ints
from linesim.plan.tally import Tally
from linesim.works.model import Works

__all__ = ["COSTS", "Ledger", "ledger_rows"]

COSTS: tuple[Callable[[Works, Plan], Cost], ...] = (
    line_costs.castings,
    line_costs.stock,
    time_costs.TimeAndScrap,
    gauge_costs.readings,
    gauge_costs.salvage,
    gauge_costs.tapped_out,
    gauge_costs.first_salvage,
    people_costs.people,
    upkeep_costs.maintenance,
    transport_costs.transport,
    crib_costs.crib,
    line_costs.quality_loss,
    later_costs.repairs,
    later_costs.field_failures,
    later_costs.out_of_drawing,
)
"""Everything that costs money. What stands here is in the rows of a run and in the price of a study's run."""

_ITEM_AT = {item: number for number, item in enumerate(ITEMS)}


class Ledger:
    """The ledger of a plan; what does not change from run to run is worked out once.

    Parameters
    ----------
    works, plan : Works, Plan
        What is run. Plans of one works under several policies have the same ledger.
    """

    def __init__(self, works: Works, plan: Plan) -> None:
        self._costs = [cost(works, plan) for cost in COSTS]
        self._lines = tuple(works.lines)
        line_at = {line: number for number, line in enumerate(works.lines)}
        cells = [line_at[head.location.line] * len(ITEMS) + _ITEM_AT[head.item.value] for head in self.heads]
        self._cell = np.array(cells, dtype=np.int64)

    @property
    def heads(self) -> list[Head]:
        """What each row stands for."""
        return [head for cost in self._costs for head in cost.heads]

    def entries(self, tally: Tally) -> Entries:
        """What a run of the plan has cost, one entry for each of `heads`.

        Parameters
        ----------
        tally : Tally
            Of the run.

        Returns
        -------
        Entries
        """
        return Entries(
            *(np.concatenate(column) for column in zip(*(cost.entries(tally) for cost in self._costs), strict=True))
        )

    def sums(self, tally: Tally) -> Ints:
        """Sums of one run by line and item.

        Parameters
        ----------
        tally : Tally
            Of the run.

        Returns
        -------
        array of int, (lines, items)
            Minor units (hundredths) of the currency; items in the order of `ITEMS`. Exact up to 2**53 of them.
        """
        minor_units = np.concatenate([cost.entries(tally).minor_units for cost in self._costs])
        sums = summed(self._cell, minor_units, len(self._lines) * len(ITEMS))
        return sums.astype(np.int64).reshape(len(self._lines), len(ITEMS))

    def rows(self, tally: Tally) -> pd.DataFrame:
        """Every cost of a run, row by row, item by item in reading order.

        Parameters
        ----------
        tally : Tally
            Of the run.

        Returns
        -------
        DataFrame
            Columns: line, operation (``whole line`` and ``works`` where there is none), item, cause, what, quantity,
            unit, price (money per unit) and minor_units (hundredths of the currency, int64). What comes to nothing is
            left out.
        """
        quantity, price, minor_units = self.entries(tally)
        is_entered = ((quantity != 0.0) & (price != 0.0)) | (minor_units != 0)
        at = self._reading_order[is_entered[self._reading_order]]
        columns = {name: values[at] for name, values in self._columns.items()}
        columns |= {"quantity": quantity[at], "price": price[at], "minor_units": minor_units[at]}
        return pd.DataFrame({name: columns[name] for name in COLUMNS})

    @cached_property
    def _reading_order(self) -> Ints:
        heads = self.heads
        return np.lexsort(([head.turn for head in heads], [_ITEM_AT[head.item.value] for head in heads]))

    @cached_property
    def _columns(self) -> dict[str, pd.api.extensions.ExtensionArray]:
        """Columns of names, one value for each of `heads`."""
        return {name: pd.array(values, dtype="str") for name, values in _names(self.heads).items()}


def _names(heads: Sequence[Head]) -> dict[str, list[str]]:
    return {
        "line": [head.location.line for head in heads],
        "operation": [head.location.operation for head in heads],
        "item": [head.item.value for head in heads],
        "cause": [head.cause for head in heads],
        "what": [head.what for head in heads],
        "unit": [head.unit for head in heads],
    }


def ledger_rows(works: Works, plan: Plan, tally: Tally) -> pd.DataFrame:
    """Every cost of a run, row by row; see `Ledger.rows`.

    Parameters
    ----------
    works, plan : Works, Plan
        What was run.
    tally : Tally
        What the run left behind.
    """
    return Ledger(works, plan).rows(tally)
