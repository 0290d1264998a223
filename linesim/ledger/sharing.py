"""Whole numbers shared out in proportion, without a unit lost."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from linesim.plan.tables import Floats, Ints

__all__ = ["Groups", "share_out", "summed"]


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
    # Of no values at all numpy makes whole numbers, to which no minutes can be added.
    return np.bincount(at, values, length).astype(np.float64, copy=False)


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
    group = Groups([len(weights)])
    return group.share_out(np.array([total], dtype=np.int64), group.shares(np.asarray(weights, dtype=np.float64)))


class Groups:
    """Members group after group, over each of which a number is shared out.

    Parameters
    ----------
    counts : sequence of int
        Members of each group, at least one.

    Attributes
    ----------
    of : array of int, (members,)
        Number of the group of each member.
    """

    def __init__(self, counts: Sequence[int]) -> None:
        self._counts = np.array(counts, dtype=np.int64)
        self.of = np.repeat(np.arange(len(counts)), self._counts)
        ends = np.cumsum(self._counts)
        self._first = ends - self._counts
        self._slices = [slice(*ends) for ends in zip(self._first.tolist(), ends.tolist(), strict=True)]
        self._turn = np.arange(len(self.of)) - self._first[self.of]

    def shares(self, weights: Floats) -> Floats:
        """Weights as shares of 1, group by group; equal ones in a group with nothing to go by.

        Parameters
        ----------
        weights : array of float, (members,)
            0 or more.

        Returns
        -------
        array of float, (members,)
        """
        # A sum of its own for each group: what stands in one group makes no difference to the last bit of another.
        wholes = np.array([weights[members].sum() for members in self._slices])
        is_empty = wholes <= 0.0
        if is_empty.any():
            weights = np.where(is_empty[self.of], 1.0, weights)
            wholes = np.where(is_empty, self._counts, wholes)
        shares: Floats = weights / wholes[self.of]
        return shares

    def share_out(self, totals: Ints, shares: Floats) -> Ints:
        """Share several whole numbers out, each over its group, by largest remainder.

        Parameters
        ----------
        totals : array of int, (groups,)
            May be negative.
        shares : array of float, (members,)
            Of 1 in each group.

        Returns
        -------
        array of int, (members,)
            They add up to the totals. Among equal remainders the first is served first.

        >>> Groups([2, 2]).share_out(np.array([10, 1]), np.array([0.5, 0.5, 0.5, 0.5])).tolist()
        [5, 5, 1, 0]
        """
        exact = totals[self.of] * shares
        amounts = np.floor(exact).astype(np.int64)
        remainders = amounts - exact
        # Floating remainders may come out a whole unit wrong either way: divmod puts right both.
        each, left = np.divmod(totals - np.add.reduceat(amounts, self._first), self._counts)
        order = np.lexsort((remainders, self.of))
        amounts += each[self.of]
        amounts[order[self._turn < left[self.of]]] += 1
        return amounts
