"""Whole numbers shared out in proportion, without a unit lost."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from linesim.plan.tables import Floats, Ints

__all__ = ["share_out", "shared_out", "shares_of", "summed"]


def summed(at: Ints, values: Floats | Ints, length: int) -> Floats:
    """Sums of values by where each of them belongs, one value added after another.

    Parameters
    ----------
    at : array of int, (values,)
        Where each belongs, 0 to ``length`` - 1.
    values : array of float or int, (values,)
        Counts come out exact up to 2**53.
    length : int
        How many sums there are.

    Returns
    -------
    array of float, (length,)

    >>> summed(np.array([0, 2, 0]), np.array([1.5, 2.0, 3.0]), 3).tolist()
    [4.5, 0.0, 2.0]
    """
    sums: Floats = np.bincount(at, values, length).astype(np.float64, copy=False)
    return sums


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
    first = np.zeros(1, dtype=np.int64)
    shares = shares_of(np.asarray(weights, dtype=np.float64), first)
    return shared_out(np.array([total], dtype=np.int64), shares, first)


def shares_of(weights: Floats, first: Ints) -> Floats:
    """Weights as shares of 1, group by group; equal ones in a group with nothing to go by.

    Parameters
    ----------
    weights : array of float, (members,)
        0 or more, group after group.
    first : array of int, (groups,)
        Where each group begins, rising; the first at 0, no group empty.

    Returns
    -------
    array of float, (members,)
    """
    ends = [*first[1:].tolist(), len(weights)]
    # A sum of its own for each group: what stands in one group makes no difference to the last bit of another.
    wholes = np.array([weights[start:end].sum() for start, end in zip(first.tolist(), ends, strict=True)])
    counts = np.array(ends) - first
    is_empty = wholes <= 0.0
    whole = np.repeat(np.where(is_empty, counts, wholes), counts)
    shares: Floats = np.where(np.repeat(is_empty, counts), 1.0, weights) / whole
    return shares


def shared_out(totals: Ints, shares: Floats, first: Ints) -> Ints:
    """Share several whole numbers out, each over a group of its own, by largest remainder.

    Parameters
    ----------
    totals : array of int, (groups,)
        May be negative.
    shares : array of float, (members,)
        Of 1 in each group, group after group.
    first : array of int, (groups,)
        Where each group begins, as for `shares_of`.

    Returns
    -------
    array of int, (members,)
        They add up to the totals. Among equal remainders the first is served first.

    >>> shared_out(np.array([10, 1]), np.array([0.5, 0.5, 0.5, 0.5]), np.array([0, 2])).tolist()
    [5, 5, 1, 0]
    """
    counts = np.diff(first, append=len(shares))
    group = np.repeat(np.arange(len(first)), counts)
    exact = totals[group] * shares
    amounts = np.floor(exact).astype(np.int64)
    remainders = amounts - exact
    # Floating remainders may come out a whole unit wrong either way: divmod puts right both.
    each, left = np.divmod(totals - np.add.reduceat(amounts, first), counts)
    order = np.lexsort((remainders, group))
    turn = np.arange(len(shares)) - np.repeat(first, counts)
    amounts += each[group]
    amounts[order[turn < left[group]]] += 1
    return amounts
