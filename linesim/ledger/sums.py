"""Sums of a ledger, and what changes from one to another."""

from __future__ import annotations

import math

import pandas as pd

from linesim.ledger.entries import COLUMNS

__all__ = ["between", "by", "per_good_part", "total_minor_units"]


def total_minor_units(rows: pd.DataFrame) -> int:
    """Sum of a ledger or a part of one, in hundredths of the currency."""
    return int(rows["minor_units"].sum())


def by(rows: pd.DataFrame, *columns: str) -> pd.DataFrame:
    """Sums of a ledger over the rows that are alike in some columns.

    Parameters
    ----------
    rows : DataFrame
        A ledger.
    *columns : str
        Columns to group by, in this order; groups come in the order of their first row.

    Returns
    -------
    DataFrame
        These columns, minor_units (int64, adding up to the ledger's sum exactly) and money.

    Raises
    ------
    ValueError
        A column is not one to group by.
    """
    known = COLUMNS[:5]
    wrong = [name for name in columns if name not in known]
    if wrong or not columns:
        given = ", ".join(wrong) or "nothing"
        raise ValueError(f"a ledger cannot be grouped by {given}; some of {', '.join(known)} were expected")
    sums = rows.groupby(list(columns), sort=False)[["minor_units"]].sum().reset_index()
    return sums.assign(money=sums["minor_units"] / 100.0)


def per_good_part(rows: pd.DataFrame, shipped: int) -> pd.DataFrame:
    """A ledger, or sums of one, with each amount also per shipped part.

    Parameters
    ----------
    rows : DataFrame
        Has the column minor_units.
    shipped : int
        Parts shipped.

    Returns
    -------
    DataFrame
        The same with the columns money and per_good_part added (not a number if nothing was shipped).
    """
    money = rows["minor_units"] / 100.0
    return rows.assign(money=money, per_good_part=money / shipped if shipped else math.nan)


def between(rows_a: pd.DataFrame, rows_b: pd.DataFrame, shipped_a: int, shipped_b: int) -> pd.DataFrame:
    """What changes from one ledger to another, per good part, by operation and item.

    Parameters
    ----------
    rows_a, rows_b : DataFrame
        Ledgers, such as of two policies.
    shipped_a, shipped_b : int
        Parts shipped in each.

    Returns
    -------
    DataFrame
        line, operation, item, before, after and change, money per good part, the largest change first; what stands in
        one ledger only counts as 0 in the other.
    """
    keys = ["line", "operation", "item"]
    sides = [
        per_good_part(by(rows, *keys), shipped)[[*keys, "per_good_part"]].rename(columns={"per_good_part": name})
        for rows, shipped, name in ((rows_a, shipped_a, "before"), (rows_b, shipped_b, "after"))
    ]
    both = sides[0].merge(sides[1], how="outer", on=keys, sort=False)
    for column, shipped in (("before", shipped_a), ("after", shipped_b)):
        if shipped:
            both[column] = both[column].fillna(0.0)
    both["change"] = both["after"] - both["before"]
    order = both["change"].abs().sort_values(ascending=False, kind="stable").index
    return both.loc[order].reset_index(drop=True)
