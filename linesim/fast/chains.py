"""Things that stand one behind another, each linked to the one before and the one behind: claims, sets on a shelf."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from linesim.fast.compiled import inlined
from linesim.plan.tables import NONE

__all__ = ["chain_of"]

At = Callable[[int, int], Any]
Put = Callable[[int, int, int, int, int], tuple[int, int]]
TakeOut = Callable[[int, int, int, int], tuple[int, int]]


def chain_of(at: At) -> tuple[Put, TakeOut]:
    """Compiled functions that keep records in a chain by their ``prev`` and ``next``.

    Parameters
    ----------
    at : callable
        The record of a number among those at an address; see `linesim.fast.drawers`.

    Returns
    -------
    put_behind, take_out : callable
        Each is given the address of the records, and last the numbers of the first and the last in the chain, and
        returns these two as they are then. The first puts a number behind another one, ``NONE`` for before all; the
        second takes out one that stands anywhere.
    """

    def put_behind(items: int, number: int, before: int, first: int, last: int) -> tuple[int, int]:
        one = at(items, number)
        after = first if before == NONE else at(items, before).next
        one.prev, one.next = before, after
        if before == NONE:
            first = number
        else:
            at(items, before).next = number
        if after == NONE:
            last = number
        else:
            at(items, after).prev = number
        return first, last

    def take_out(items: int, number: int, first: int, last: int) -> tuple[int, int]:
        before, after = at(items, number).prev, at(items, number).next
        if before == NONE:
            first = after
        else:
            at(items, before).next = after
        if after == NONE:
            last = before
        else:
            at(items, after).prev = before
        return first, last

    return inlined(put_behind), inlined(take_out)
