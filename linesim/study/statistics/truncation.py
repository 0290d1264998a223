"""Where a series that starts from an empty shop has settled: MSER-5."""

from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple

import numpy as np
import numpy.typing as npt

from linesim.errors import StudyError

__all__ = ["Truncation", "mser"]


class Truncation(NamedTuple):
    """Where to cut off the beginning of a series.

    Attributes
    ----------
    n_batches : int
        Complete batches of the series.
    d_batches : int
        Batches to cut off.
    d_observations : int
        Observations to cut off.
    statistic : float
        The least squared standard error of the mean of what is left, the batches taken as independent.
    mean : float
        Mean of what is left.
    is_settled : bool
        Whether the least lies before the greatest cut allowed; if not, the series is too short to tell.
    """

    n_batches: int
    d_batches: int
    d_observations: int
    statistic: float
    mean: float
    is_settled: bool


def mser(values: Sequence[float] | npt.NDArray[np.float64], batch: int = 5) -> Truncation:
    """Cut off so much of the beginning that the mean of the rest has the least standard error.

    Parameters
    ----------
    values : sequence of float, shape (observations,)
        At least four batches; what is left over at the end is not used.
    batch : int
        Observations in a batch, 1 or more.

    Returns
    -------
    Truncation
        No more than half the batches are cut off; of equals the shortest cut.

    Raises
    ------
    StudyError
        The series is too short, or has values that are not numbers.

    Notes
    -----
    Source: K. P. White, "An effective truncation heuristic for bias reduction in simulation output", Simulation 69
    (1997), 323-334; K. P. White, M. J. Cobb and S. C. Spratt, "A comparison of five steady-state truncation heuristics
    for simulation", Proceedings of the Winter Simulation Conference (2000), 755-760 (both from memory). The statistic
    is the sum of squares about the mean of the n - d batches left, over (n - d)².

    >>> mser([9.0] * 5 + [1.0, 2.0] * 20).d_observations
    5
    """
    given = np.asarray(values, dtype=np.float64)
    count = len(given) // max(batch, 1)
    if batch < 1 or count < 4:
        raise StudyError(
            f"{len(given)} observations in batches of {batch} are too few; at least four batches are needed"
        )
    if not np.isfinite(given).all():
        raise StudyError("a series with values that are not numbers cannot be cut off; every slice needs a figure")
    means = given[: count * batch].reshape(count, batch).mean(axis=1)
    most = count // 2
    statistics = [float(means[cut:].var()) / (count - cut) for cut in range(most + 1)]
    best = int(np.argmin(statistics))
    return Truncation(count, best, best * batch, statistics[best], float(means[best:].mean()), best < most)
