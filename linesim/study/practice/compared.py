"""One comparison of a claim over all draws: in how many it holds, and what the mean of the differences says.

A draw is one run of each alternative, and the luck of a run can be larger than what is compared. The mean over the
draws tells a claim that is wrong here from one whose difference is merely small against that luck.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from linesim.study.practice.claim import Pair
from linesim.study.statistics.intervals import mean_interval

__all__ = ["NOT_SO", "OPEN", "SO", "Compared", "compared"]

SO, OPEN, NOT_SO = "so", "open", "not so"
"""What means say: surely so, no more than luck, or surely not so."""


@dataclass(frozen=True)
class Compared:
    """A comparison over the draws that have something to show.

    Attributes
    ----------
    of, what, unit : str
        As in a `Pair`.
    less, more : float
        Means of both figures; not a number without a draw.
    difference, half_width : float
        Mean of second less first, and half its interval; not a number where none can be said.
    holds, draws : int
        In how many draws it holds, of how many.
    in_the_mean : str
        `SO` if the interval of the difference lies wholly on the side of the claim, `NOT_SO` if wholly on the other
        one, else `OPEN`.
    slack : float
        Share of the second figure by which the first may be greater and both count as equal; mostly 0.
    """

    of: str
    what: str
    unit: str
    less: float
    more: float
    difference: float
    half_width: float
    holds: int
    draws: int
    in_the_mean: str
    slack: float

    @property
    def is_within_slack(self) -> bool:
        """Whether a difference the other way is beyond luck, and yet about as small as what counts as equal."""
        return self.in_the_mean == OPEN and self.slack > 0.0 and self.difference + self.half_width < 0.0


def compared(of: str, what: str, pairs: Sequence[Pair], confidence: float) -> Compared:
    """The draws of one comparison taken together.

    Parameters
    ----------
    of, what : str
        Which.
    pairs : sequence of Pair
        One for each draw; at least one. Those in which a figure cannot be said are left out.
    confidence : float
        Of the interval of the difference, between 0 and 1.

    Returns
    -------
    Compared
    """
    known = [pair for pair in pairs if pair.holds is not None]
    holds, unit, slack = sum(bool(pair.holds) for pair in known), pairs[0].unit, pairs[0].slack
    if not known:
        return Compared(of, what, unit, math.nan, math.nan, math.nan, math.nan, 0, 0, OPEN, slack)
    less, more = (math.fsum(values) / len(known) for values in zip(*((p.less, p.more) for p in known), strict=True))
    difference = mean_interval([pair.more - pair.less for pair in known], confidence)
    says = _says(known, holds, confidence)
    return Compared(of, what, unit, less, more, difference.mean, difference.half_width, holds, len(known), says, slack)


def _says(known: Sequence[Pair], holds: int, confidence: float) -> str:
    """What the mean of the margins says; where every draw says the same, or nothing finite can be said, their count."""
    margin = mean_interval([pair.more + pair.slack * abs(pair.more) - pair.less for pair in known], confidence)
    if len(known) > 1 and (holds == len(known) or margin.low > 0.0):
        return SO
    return NOT_SO if margin.high < 0.0 or (len(known) > 1 and not holds) else OPEN
