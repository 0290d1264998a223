"""What a look for the first changes has come to: proposals with their gains, and which of them are significant."""

from __future__ import annotations

from dataclasses import dataclass

import pandas as pd

from linesim.study.advice.move import Move
from linesim.study.statistics.intervals import Difference, each_of
from linesim.works import Works

__all__ = ["MOST", "AdviceFigures", "Proposal"]

MOST = 5
"""Actions that are proposed at the most."""


@dataclass(frozen=True, eq=False)
class Proposal:
    """One change, or several made together, against today's practice.

    Attributes
    ----------
    moves : tuple of Move
        One, or all of those proposed.
    label : str
        The action in the words of the shop.
    gain : Difference
        Money a month more than today; the interval holds together with those of all others.
    figures, items : DataFrame
        Before and after, and the ledger of a month; see `linesim.study.advice.paired.Paired`.
    first : tuple of str
        What must be said before it is praised: a drawing that is not held, an edge past its wear limit, more parts
        shipped out of the drawing.
    currency : str
        Of the money.
    is_fresh : bool
        Whether it was judged in runs that had no part in picking it; if not, it is a first look.
    still_right : str
        How far it stays right where lives are other than assumed, as a sentence; empty where that was not asked.
    """

    moves: tuple[Move, ...]
    label: str
    gain: Difference
    figures: pd.DataFrame
    items: pd.DataFrame
    first: tuple[str, ...]
    currency: str
    is_fresh: bool
    still_right: str = ""

    @property
    def is_significant(self) -> bool:
        """Whether it brings more than today, beyond doubt."""
        return self.is_fresh and self.gain.mean > 0.0 and self.gain.is_apart


@dataclass(frozen=True, eq=False, repr=False)
class AdviceFigures:
    """What to change first.

    Attributes
    ----------
    works : Works
        The scenario.
    policy : str
        Today's practice.
    first : tuple of str
        What must be said of today's practice before anything else.
    proposals : tuple of Proposal
        What was judged, in order of money; those of a first look until all have been.
    together : Proposal or None
        All significant ones in one; None where there are fewer than two, or it has not been run.
    seed, tried, replications : int
        Key of all chance; changes tried so far; runs in which each was judged.
    confidence : float
        Of all intervals together.
    is_final : bool
        Whether everything has been run.
    """

    works: Works
    policy: str
    first: tuple[str, ...]
    proposals: tuple[Proposal, ...]
    together: Proposal | None
    seed: int
    tried: int
    replications: int
    confidence: float
    is_final: bool

    @property
    def actions(self) -> tuple[Proposal, ...]:
        """What is proposed: significant, in order of money, five at the most."""
        return tuple(each for each in self.proposals if each.is_significant)[:MOST]

    @property
    def promising(self) -> tuple[Proposal, ...]:
        """While nothing has been judged yet: what looks best so far, five at the most."""
        ahead = [each for each in self.proposals if each.gain.mean > 0.0 and not each.is_fresh]
        return tuple(ahead[:MOST])

    @property
    def each_confidence(self) -> float:
        """Confidence of each interval by itself, so that those of all that was judged hold together."""
        return each_of(self.confidence, len(self.proposals))

    @property
    def runner_up(self) -> Proposal | None:
        """The best of those whose interval includes nothing gained."""
        return next((each for each in self.proposals if each.is_fresh and not each.is_significant), None)
