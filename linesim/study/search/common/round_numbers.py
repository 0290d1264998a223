"""Intervals as a shop writes them on the wall: round numbers of parts."""

from __future__ import annotations

import bisect
import math

__all__ = ["ROUND", "next_round", "round_parts", "round_share"]

_MANTISSAS = (10, 12, 14, 15, 16, 18, 20, 22, 25, 28, 30, 35, 40, 45, 50, 55, 60, 65, 70, 75, 80, 90)


def _ladder() -> tuple[int, ...]:
    """Whole numbers up to 10, then steps of five to twenty per cent that are easily remembered."""
    above = [mantissa * 10**power for power in range(6) for mantissa in _MANTISSAS]
    return tuple(sorted({*range(1, 10), *above}))


ROUND: tuple[int, ...] = _ladder()
"""Round numbers of parts in rising order."""


def round_parts(parts: float) -> int:
    """The round number of parts that is nearest by ratio.

    >>> round_parts(0.3), round_parts(28.8), round_parts(93.0), round_parts(131.0)
    (1, 28, 90, 140)
    """
    if parts <= ROUND[0]:
        return ROUND[0]
    at = bisect.bisect_left(ROUND, parts)
    if at == len(ROUND):
        return ROUND[-1]
    low, high = ROUND[at - 1], ROUND[at]
    return low if math.log(parts / low) < math.log(high / parts) else high


def next_round(parts: int, steps: int) -> int:
    """The round number so many steps above (or below, if negative) one.

    >>> next_round(10, 1), next_round(10, -1), next_round(1, -3)
    (12, 9, 1)
    """
    at = ROUND.index(round_parts(parts)) + steps
    return ROUND[min(max(at, 0), len(ROUND) - 1)]


def round_share(share: float) -> float:
    """A share of life in whole twentieths, at least one.

    >>> round_share(0.63), round_share(0.01)
    (0.65, 0.05)
    """
    return max(1, round(20.0 * share)) / 20.0
