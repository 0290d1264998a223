"""Going on until intervals are narrow enough, without paying for the looks with confidence.

A study that stops when its intervals look narrow stops more often where chance made them so, and they then hold the
truth less often than they say. Here the looks are few, their replications are fixed beforehand, and Bonferroni's
inequality splits the risk among them: every interval holds with the confidence wanted at whichever look the study
ends. The rule of stopping, by an absolute or a relative half width with at least ten replications, is that of A. M.
Law, Simulation Modeling and Analysis, section 9.4.1 (from memory), whose looks after every replication hold only in
the limit.
"""

from __future__ import annotations

import math
from collections.abc import Iterable
from typing import NamedTuple

from linesim.errors import StudyError
from linesim.study.statistics.intervals import Interval

__all__ = ["HalfWidth", "looks_of"]

_GROWTH = 1.5
"""Replications of one look over those of the look before."""


class HalfWidth(NamedTuple):
    """Go on until the interval of what decides is narrow enough for everything that is compared.

    Attributes
    ----------
    absolute : float or None
        Half width wanted, in the unit of what decides, above 0.
    relative : float or None
        The same as a share of the mean, above 0; either of the two is given.
    first : int
        Replications before the first look, 2 or more; 10 are the least that Law advises.
    most : int
        Replications after which it ends, whether or not the width is reached.
    """

    absolute: float | None = None
    relative: float | None = None
    first: int = 10
    most: int = 200

    def is_reached(self, intervals: Iterable[Interval]) -> bool:
        """Whether all intervals are narrow enough.

        >>> HalfWidth(absolute=2.0).is_reached([Interval(10.0, 1.5, 10), Interval(10.0, 2.5, 10)])
        False
        >>> HalfWidth(relative=0.1).is_reached([Interval(-20.0, 2.0, 10)])
        True
        """
        return all(interval.half_width <= self._wanted(interval.mean) for interval in intervals)

    def _wanted(self, mean: float) -> float:
        if self.absolute is not None:
            return self.absolute
        return abs(mean) * float(self.relative or 0.0)


def looks_of(rule: HalfWidth) -> tuple[int, ...]:
    """Replications at which the intervals are looked at, fixed before anything is run.

    Parameters
    ----------
    rule : HalfWidth

    Returns
    -------
    tuple of int
        From the first to the most, each half as many again as the one before.

    Raises
    ------
    StudyError
        The rule makes no sense.

    >>> looks_of(HalfWidth(absolute=1.0, most=60))
    (10, 15, 23, 35, 53, 60)
    """
    given = [width for width in (rule.absolute, rule.relative) if width is not None]
    if len(given) != 1 or not (given[0] > 0.0 and math.isfinite(given[0])):
        raise StudyError("a half width above 0 was expected: either as a figure, or as a share of the mean")
    if not 2 <= rule.first <= rule.most:
        raise StudyError(
            f"looking at intervals from {rule.first} replications up to {rule.most} cannot be; at least 2 at first, "
            "and no more than in all, were expected"
        )
    looks = [rule.first]
    while looks[-1] < rule.most:
        looks.append(min(rule.most, math.ceil(looks[-1] * _GROWTH)))
    return tuple(looks)
