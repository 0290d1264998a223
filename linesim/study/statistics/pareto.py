"""Which points are beaten in two things at once, and how far the runs carry that."""

from __future__ import annotations

from typing import NamedTuple

import numpy as np
import numpy.typing as npt

from linesim.study.statistics.intervals import Floats, each_of, t_quantile

__all__ = ["BEATEN", "ON", "OPEN", "Knee", "Verdicts", "knee_of", "not_beaten", "verdicts_of"]

ON, OPEN, BEATEN = "on it", "open", "dominated"
"""On the frontier; not settled by the runs; surely beaten in both by another one."""


Ints = npt.NDArray[np.int64]
_RESAMPLES = 500
_SAME = 1e-12


class Verdicts(NamedTuple):
    """What is said of each point.

    Attributes
    ----------
    verdict : list of str
        `ON`, `OPEN` or `BEATEN`, point by point.
    beaten_by : list of int
        For each point the one that surely beats it by the most output, or -1.
    """

    verdict: list[str]
    beaten_by: list[int]


class Knee(NamedTuple):
    """The point after which more of the one costs much of the other.

    Attributes
    ----------
    point : int
        Which it is; -1 if there is none.
    share : float
        Share of resampled sets of replications in which it is the same.
    """

    point: int
    share: float


def not_beaten(output: Floats, loss: Floats) -> Ints:
    """Points that no other one beats: nowhere worse and somewhere better; by rising output.

    Parameters
    ----------
    output : array, shape (points,)
        More is better.
    loss : array, shape (points,)
        Less is better.

    Returns
    -------
    array of int
    """
    better = (output[:, None] >= output) & (loss[:, None] <= loss)
    strictly = better & ((output[:, None] > output) | (loss[:, None] < loss))
    stored = np.flatnonzero(~strictly.any(axis=0))
    return stored[np.lexsort((loss[stored], output[stored]))].astype(np.int64)


def verdicts_of(output: Floats, loss: Floats, confidence: float) -> Verdicts:
    """Where each point stands, as far as paired replications carry it.

    Parameters
    ----------
    output, loss : array, shape (points, replications)
        Of one replication all points share their chance.
    confidence : float
        Of all that is said of all points together: the intervals of all pairwise differences in both hold at once by
        Bonferroni's inequality.

    Returns
    -------
    Verdicts
        With fewer than two replications everything is open.
    """
    points, n = output.shape
    if n < 2 or points < 2:
        return Verdicts([OPEN if points > 1 else ON] * points, [-1] * points)
    quantile = float(t_quantile((1.0 + each_of(confidence, points * (points - 1))) / 2.0, n - 1))
    more, less = _surely_above(output, quantile), _surely_above(-loss, quantile)
    beats = more & less  # [i, j]: i surely beats j in both
    stands = (more | less).T  # [j, i]: i surely is worse than j in one thing at least
    # What is the same in every replication takes nothing from each other.
    alike = (np.abs(output[:, None] - output) + np.abs(loss[:, None] - loss)).max(axis=2) == 0.0
    stands |= alike
    means = output.mean(axis=1)
    verdict, beaten_by = [], []
    for point in range(points):
        by = np.flatnonzero(beats[:, point])
        # Stands for sure if every other one is surely worse in something.
        is_on = bool(stands.T[point].all())
        verdict.append(BEATEN if len(by) else ON if is_on else OPEN)
        beaten_by.append(int(by[np.argmax(means[by])]) if len(by) else -1)
    return Verdicts(verdict, beaten_by)


def _surely_above(values: Floats, quantile: float) -> npt.NDArray[np.bool_]:
    """[i, j]: the interval of i less j lies above 0."""
    apart = values[:, None, :] - values[None, :, :]
    mean, spread = apart.mean(axis=2), apart.std(axis=2, ddof=1)
    scale = np.abs(values).max()
    above: npt.NDArray[np.bool_] = mean > np.maximum(quantile * spread / np.sqrt(values.shape[1]), _SAME * scale)
    return above


def knee_of(output: Floats, loss: Floats, seed: int) -> Knee:
    """The knee of the points that are not beaten in the mean, and how often it is the same in resampled replications.

    Parameters
    ----------
    output, loss : array, shape (points, replications)
        As for `verdicts_of`.
    seed : int
        Of the resampling, so that the same study always gives the same share.

    Returns
    -------
    Knee
        None with fewer than three points that are not beaten, or if none bulges out beyond the line through both ends.

    Notes
    -----
    The knee is the point farthest from the line through both ends of the frontier, with output and loss each counted
    from 0 at one end to 1 at the other. Source: I. Das, "On characterizing the 'knee' of the Pareto curve based on
    normal-boundary intersection", Structural Optimization 18 (1999), 107-115 (from memory).
    """
    answer = _knee(output.mean(axis=1), loss.mean(axis=1))
    n = output.shape[1]
    if answer < 0 or n < 2:
        return Knee(answer, float("nan"))
    rng = np.random.default_rng(seed)
    draws = rng.integers(0, n, (_RESAMPLES, n))
    same = sum(_knee(output[:, draw].mean(axis=1), loss[:, draw].mean(axis=1)) == answer for draw in draws)
    return Knee(answer, same / _RESAMPLES)


def _knee(output: Floats, loss: Floats) -> int:
    """Number of the knee among all points; -1 if there is none."""
    stored = not_beaten(output, loss)
    if len(stored) < 3:
        return -1
    x, y = output[stored], loss[stored]
    # Rising output costs loss along the frontier, so both run from 0 at its first point to 1 at its last.
    bulge = (x - x[0]) / (x[-1] - x[0]) - (y - y[0]) / (y[-1] - y[0])
    best = int(np.argmax(bulge))
    return int(stored[best]) if bulge[best] > _SAME else -1
