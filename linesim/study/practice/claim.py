"""What every practitioner knows, as claims that a works can be asked about: one thing is less than another.

No claim and no limit in one was adjusted to what a works answers; where a claim does not come out, that is the answer.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass, field

from linesim.study.practice.draw import Draw
from linesim.study.practice.here import Here, nothing_here
from linesim.words import KeptText, keep
from linesim.works import Works

__all__ = ["CAPABILITY", "COMES_OUT", "Claim", "Pair"]

CAPABILITY = "Cpk"
"""Unit of a pair of capabilities."""

COMES_OUT = 0.9
"""Share of draws in which a claim has to hold before it is said to come out."""


@dataclass(frozen=True)
class Pair:
    """Two figures of one draw of which a claim says that the first is the smaller.

    Attributes
    ----------
    of : str
        What it is about: a feature, an operation, a gauge, the whole works.
    what : str
        What is compared: "Ra: last cut < first cut".
    unit : str
        Of both figures; empty for a figure without one.
    less, more : float
        The figure that is to be the smaller one, and the greater one. Not a number where a run has nothing to show.
    slack : float
        Share of ``more`` by which ``less`` may lie above it all the same; 0 means that they must not even be equal.
    """

    of: str
    what: str
    unit: str
    less: float
    more: float
    slack: float = 0.0

    @property
    def holds(self) -> bool | None:
        """Whether it is so; None where one of the figures cannot be said.

        >>> Pair("bore", "sd: fresh <= dull", "µm", 4.1, 4.0, slack=0.05).holds
        True
        """
        if math.isnan(self.less) or math.isnan(self.more):
            return None
        return self.less <= self.more + self.slack * abs(self.more) if self.slack else self.less < self.more


@dataclass(frozen=True)
class Claim:
    """Something that every practitioner knows.

    Attributes
    ----------
    letter : str
        By which it is known in tables.
    absent : callable
        Why it does not apply to a works; empty where it does.
    pairs : callable
        The comparisons of one draw; the claim holds there if all of them do.
    here : callable
        Why a comparison does not come out in this works, by its own minutes and money.
    figures : mapping of str to float
        That its words name.
    """

    letter: str
    absent: Callable[[Works], str]
    pairs: Callable[[Draw], Iterator[Pair]]
    here: Here = nothing_here
    figures: Mapping[str, float] = field(default_factory=dict)

    @property
    def words(self) -> KeptText:
        """The claim in one sentence."""
        return keep(f"claims.{self.letter}", **self.figures)

    @property
    def rests_on(self) -> KeptText:
        """The laws out of which it has to come."""
        return keep(f"claims_rest.{self.letter}")

    @property
    def otherwise(self) -> KeptText:
        """Where it need not be so, and why: what is said to the user where it does not come out."""
        return keep(f"claims_but.{self.letter}")
