"""What was foretold set against what happened: hits, and whether bands are too narrow, too wide or lean to one side.

Everything that is foretold is a table of draws: a column for each thing that will be seen, a row for each draw of the
parameters. What was seen has a place among the draws of its column, from 0 (below all) to 1 (above all). If the fit is
right, these places are spread evenly. How far the number of hits, the number in the middle half, and the mean place
may stray is asked of the draws themselves: each row in its turn stands for what was seen. So things that share what is
not known of the fit, a batch or an edge count for no more than they say, and where nothing is shared the bounds are
those of the binomial distribution.
Source: A. P. Dawid, J. Roy. Stat. Soc. A 147 (1984), 278-292 (places); D. B. Rubin, Ann. Statist. 12 (1984), 1151-1172
(draws as the measure) (both from memory).
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

import numpy as np
from scipy.stats import rankdata

from linesim.plan.tables import Floats

__all__ = ["FALSE_ALARM", "FEWEST", "Foretold", "Verdict", "joined", "verdict_of"]

Word = Literal["foretells", "too narrow", "too wide", "too high", "too low", "too few"]
FALSE_ALARM = 0.02
"""How often a verdict speaks against a fit that is right, at the most: half of it for a lean to either side, a quarter
for bands that are too narrow, a quarter for bands that are too wide."""
FEWEST = 5
"""With fewer seen there is no verdict."""
_SEED = 20_311


@dataclass(frozen=True)
class Foretold:
    """Things foretold together, and what was seen.

    Attributes
    ----------
    labels : tuple of str
        Of each.
    draws : ndarray of shape (draws, n)
        What may be seen; each row drawn with the same parameters.
    seen_low, seen_high : ndarray of shape (n,)
        What was seen: alike, or between them; infinite above where it was only seen to be more.
    least : float
        Nothing below can be seen; bands end there.
    """

    labels: tuple[str, ...]
    draws: Floats
    seen_low: Floats
    seen_high: Floats
    least: float = -np.inf

    @property
    def bands(self) -> Floats:
        """Low bound, middle and high bound of each at 95 %, (3, n)."""
        answer: Floats = np.maximum(np.quantile(self.draws, [0.025, 0.5, 0.975], axis=0), self.least)
        return answer

    @property
    def places(self) -> Floats:
        """Place of what was seen among the draws of each; of what is only known to lie in a span, drawn from there."""
        chance, count = np.random.default_rng(_SEED), len(self.draws)
        low = (self.draws < self.seen_low).sum(axis=0) / count
        high = np.where(np.isinf(self.seen_high), 1.0, (self.draws <= self.seen_high).sum(axis=0) / count)
        answer: Floats = low + chance.random(low.size) * (np.maximum(high, low) - low)
        return answer

    @property
    def hits(self) -> np.ndarray:
        """Whether each lies in its band."""
        return np.abs(self.places - 0.5) <= 0.475


@dataclass(frozen=True)
class Verdict:
    """What the hits say.

    Attributes
    ----------
    word : str
        "foretells", or what is wrong with the bands; "too high" means that more was foretold than was seen.
    hits, count : int
        In their bands, and foretold.
    likely : tuple of int
        Between which the hits lie in 95 of 100 cases if the fit is right.
    lean : float
        Mean place less a half: above 0 if more was seen than foretold.
    """

    word: Word
    hits: int
    count: int
    likely: tuple[int, int]
    lean: float


def joined(parts: Sequence[Foretold]) -> Foretold:
    """Parts that were foretold one without the other, as one."""
    least = min(len(part.draws) for part in parts)
    return Foretold(
        tuple(label for part in parts for label in part.labels),
        np.hstack([part.draws[:least] for part in parts]),
        np.concatenate([part.seen_low for part in parts]),
        np.concatenate([part.seen_high for part in parts]),
        min(part.least for part in parts),
    )


def verdict_of(foretold: Foretold) -> Verdict:
    """Judge what was foretold against what was seen.

    Parameters
    ----------
    foretold : Foretold
        All that belongs to one quantity.
    """
    places, count = foretold.places, foretold.seen_low.size
    drawn = (rankdata(foretold.draws, axis=0) - 0.5) / len(foretold.draws)
    hits, drawn_hits = (int(_within(places, 0.475)), _within(drawn, 0.475))
    middle, drawn_middle = int(_within(places, 0.25)), _within(drawn, 0.25)
    lean, drawn_lean = float(places.mean() - 0.5), drawn.mean(axis=1) - 0.5
    likely = (int(np.quantile(drawn_hits, 0.025)), int(np.quantile(drawn_hits, 0.975)))
    quarter = 0.25 * FALSE_ALARM
    word: Word = "foretells"
    if count < FEWEST:
        word = "too few"
    elif (drawn_lean <= lean).mean() < quarter:
        word = "too high"
    elif (drawn_lean >= lean).mean() < quarter:
        word = "too low"
    elif (drawn_hits <= hits).mean() < quarter:
        word = "too narrow"
    elif (drawn_middle >= middle).mean() < quarter:
        word = "too wide"
    return Verdict(word, hits, count, likely, lean)


def _within(places: Floats, far: float) -> np.ndarray:
    """How many places lie so near the middle."""
    return np.asarray((np.abs(places - 0.5) <= far).sum(axis=-1))
