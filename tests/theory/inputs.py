"""Control variates from the random numbers that went into a run: times between castings and times of the work.

A run's draws are pure functions of seed, replication, purpose, place and index, so a test can draw them again. How
bunched they are is what fills a queue: the mean square of the sum of (time of work less time between castings), each
less its mean, over every window of so many consecutive parts. Its expectation is known exactly, namely the window times
the sum of the variances.
"""

from __future__ import annotations

from typing import NamedTuple

import numpy as np
import numpy.typing as npt

from linesim.chance import Law, Purpose, drawn

__all__ = ["WINDOWS", "Drawn", "bunching"]

WINDOWS = (8, 64, 512)
"""Parts in a window: some, about as many as the queue remembers, and many."""


class Drawn(NamedTuple):
    """A law of times as the run draws it, part by part.

    Attributes
    ----------
    law, p1, p2
        As `linesim.chance.drawn` takes them.
    variance : float
        Of one time.
    purpose, place
        Arrivals of a line, or the work of an operation.
    """

    law: Law
    p1: float
    p2: float
    variance: float
    purpose: Purpose
    place: int = 0

    def deviations(self, seed: int, replication: int, count: int) -> npt.NDArray[np.float64]:
        """The first times of a run, less their mean p1 (the laws in use here have that mean)."""
        law, purpose = int(self.law), int(self.purpose)
        times = [
            drawn(law, self.p1, self.p2, 0.0, seed, replication, purpose, self.place, index) for index in range(count)
        ]
        return np.array(times) - self.p1


def bunching(work: Drawn, between: Drawn, share: float, seed: int, replication: int, count: int) -> list[float]:
    """Mean squares of windowed sums of (share x work - between), less their expectations; one for each window.

    Parameters
    ----------
    share : float
        One over the number of machines.
    count : int
        How many parts, from the first.
    """
    steps = share * work.deviations(seed, replication, count) - between.deviations(seed, replication, count)
    sums = np.concatenate([[0.0], np.cumsum(steps)])
    variance = share * share * work.variance + between.variance
    return [_mean_square(sums, window) / (window * variance) - 1.0 for window in WINDOWS]


def _mean_square(sums: npt.NDArray[np.float64], window: int) -> float:
    return float(np.mean((sums[window:] - sums[:-window]) ** 2))
