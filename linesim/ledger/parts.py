"""The ledger part by part: what is known of a part goes to it, the rest is spread over its line's good parts."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
import pandas as pd

from linesim.cutting.component import Component
from linesim.ledger.entries import ITEMS, to_minor_units
from linesim.ledger.sharing import share_out
from linesim.plan.tables import Ints
from linesim.quality.limits import asked_square_um2, cap_um2, loss_factor
from linesim.works.model import Line

__all__ = ["by_part", "quality_loss_of_part"]


def quality_loss_of_part(line: Line, *components: Sequence[float]) -> float:
    """Quality loss of one shipped part, from its true values.

    Parameters
    ----------
    line : Line
        Its line.
    *components : sequence of float, µm
        One for each `linesim.cutting.component.Component` in its order: a figure for each place of each feature, in
        the order of the line's features. What the drawing does not ask for does not bear on the result.

    Returns
    -------
    float, money
    """
    loss, first = 0.0, 0
    for feature in line.features.values():
        places = slice(first, first + feature.places)
        first += feature.places
        for of, values in zip(Component, components, strict=True):
            factor, cap = loss_factor(feature, of), cap_um2(feature, of)
            if factor > 0.0:
                loss += factor * sum(min(asked_square_um2(feature, of, value), cap) for value in values[places])
    return loss


def by_part(rows: pd.DataFrame, parts: pd.DataFrame) -> pd.DataFrame:
    """Every cost of a run laid on its good parts, so that the parts add up to the ledger to the minor unit.

    Parameters
    ----------
    rows : DataFrame
        The ledger.
    parts : DataFrame
        One row for each shipped part: line and serial, and any columns named as items (such as ``quality loss``) with
        the money known to be this part's own.

    Returns
    -------
    DataFrame
        line, serial, one column of minor units (int64) for each item, and total. What is left of an item after the
        parts' own amounts is spread evenly by largest remainder. What a line without shipped parts has cost
        stands in a row of its own, whose serial is missing.
    """
    lines = list(dict.fromkeys([*rows["line"], *parts["line"]]))
    tables = [_of_line(line, rows[rows["line"] == line], parts) for line in lines]
    return pd.concat(tables or [_empty()], ignore_index=True)


def _empty() -> pd.DataFrame:
    return pd.DataFrame({"line": [], "serial": pd.array([], dtype="Int64")} | {name: [] for name in (*ITEMS, "total")})


def _of_line(line: str, rows: pd.DataFrame, parts: pd.DataFrame) -> pd.DataFrame:
    own = parts[parts["line"] == line]
    serials = own["serial"].to_numpy(dtype=np.int64) if len(own) else [None]
    table = pd.DataFrame({"line": line, "serial": pd.array(serials, dtype="Int64")})
    for item in ITEMS:
        whole = int(rows.loc[rows["item"] == item, "minor_units"].sum())
        direct = _own_amounts(own, item, len(table))
        table[item] = direct + share_out(whole - int(direct.sum()), [1.0] * len(table))
    table["total"] = table[list(ITEMS)].sum(axis=1)
    return table


def _own_amounts(parts: pd.DataFrame, item: str, length: int) -> Ints:
    """The parts' own amounts of an item in minor units."""
    if item not in parts.columns or not len(parts):
        return np.zeros(length, dtype=np.int64)
    return to_minor_units(parts[item].to_numpy(dtype=np.float64))
