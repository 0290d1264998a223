"""What each decision loses over what may be true, how far a decision stays right, and what knowing a life is worth.

The loss of a decision in one draw is what the best decision for that draw would bring, less what it brings (its
regret); all decisions meet the same draw and the same chance. What it is worth to know one life exactly is what the
best decision for each value of it brings on average, less what the best decision without knowing it does; the mean of
each decision given the life is a parabola of its logarithm, by least squares (M. Strong, J. E. Oakley and A. Brennan,
Medical Decision Making 34 (2014), 311-326, with a parabola in place of their smoother; from memory). As chance alone
lets some decision look better here and there, the same is done with the life dealt out at random: what that brings on
average is taken off, and a life whose worth is not above 95 of 100 of those is not told from nothing.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from linesim.plan.tables import Floats
from linesim.study.statistics.intervals import Difference, Interval, mean_interval, paired_difference

__all__ = ["Loss", "Step", "Worth", "losses_of", "step_of", "worth_of"]

_SHUFFLES = 200
_SEED = 20_314


@dataclass(frozen=True)
class Loss:
    """What one decision brings and loses over all draws."""

    name: str
    brings: Interval
    loses: Interval


@dataclass(frozen=True)
class Step:
    """The decision chosen against the best other one, with all lives at one factor.

    Attributes
    ----------
    factor : float
        On all lives.
    rival : str
        What is best beside it there.
    gap : Difference
        The decision chosen less the rival.
    """

    factor: float
    rival: str
    gap: Difference

    @property
    def is_right(self) -> bool:
        """Whether the rival is not significantly better."""
        return not (self.gap.is_apart and self.gap.mean < 0.0)


@dataclass(frozen=True)
class Worth:
    """What it is worth to know one life exactly.

    Attributes
    ----------
    of : str
        The life, in words.
    within : float
        Factor within which it is known now.
    value : float
        Money an hour, or whatever is measured.
    p_value : float
        How often a life that does not matter would look worth as much.
    """

    of: str
    within: float
    value: float
    p_value: float


def losses_of(names: list[str], brings: Floats, confidence: float) -> list[Loss]:
    """Losses of all decisions, the least first.

    Parameters
    ----------
    names : list of str
        Of the decisions.
    brings : ndarray of shape (decisions, draws)
        What each brings in each draw; more is better.
    confidence : float
        Of the intervals.
    """
    lost = brings.max(axis=0) - brings
    every = [
        Loss(name, mean_interval(own, confidence), mean_interval(away, confidence))
        for name, own, away in zip(names, brings, lost, strict=True)
    ]
    return sorted(every, key=lambda each: each.loses.mean)


def step_of(factor: float, chosen: str, brings: dict[str, Floats], confidence: float, looks: int) -> Step:
    """The decision chosen against the best other one at one factor.

    Parameters
    ----------
    factor : float
        On all lives.
    chosen : str
        The decision.
    brings : dict of str to ndarray
        What each brings in each replication.
    confidence : float
        Of all looks together (Bonferroni: over the rivals and the factors).
    looks : int
        How many factors are looked at.
    """
    rivals = {name: values for name, values in brings.items() if name != chosen}
    best = max(rivals, key=lambda name: float(rivals[name].mean()))
    each = 1.0 - (1.0 - confidence) / (looks * len(rivals))
    return Step(factor, best, paired_difference(brings[chosen], rivals[best], each))


def worth_of(of: str, within: float, logs: Floats, brings: Floats) -> Worth:
    """What it is worth to know one life.

    Parameters
    ----------
    of, within : str and float
        The life, and how well it is known.
    logs : ndarray of shape (draws,)
        Logarithm of its factor in each draw.
    brings : ndarray of shape (decisions, draws)
        What each decision brings.
    """
    value = _gain(logs, brings)
    chance = np.random.default_rng(_SEED)
    shuffled = np.array([_gain(chance.permutation(logs), brings) for _ in range(_SHUFFLES)])
    p_value = (1.0 + float((shuffled >= value).sum())) / (1.0 + _SHUFFLES)
    return Worth(of, within, max(value - float(shuffled.mean()), 0.0), p_value)


def _gain(logs: Floats, brings: Floats) -> float:
    """Mean of the best fitted decision less the best mean."""
    x = np.column_stack([np.ones(logs.size), logs, logs**2])
    fitted = x @ np.linalg.lstsq(x, brings.T, rcond=None)[0]
    return float(fitted.max(axis=1).mean() - fitted.mean(axis=0).max())
