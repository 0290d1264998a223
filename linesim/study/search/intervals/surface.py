"""Many settings at once: spread designs around the best so far, and what each interval does by itself, by regression.

Every run of a design tells something of every interval, so that thirty of them need few more runs than three. The model
is a sum of parabolas in the logarithms of the intervals; the replications that runs share are taken out first. Source:
G. E. P. Box and K. B. Wilson, "On the experimental attainment of optimum conditions", Journal of the Royal Statistical
Society B 13 (1951), 1-45 (from memory); designs by SciPy, least squares by statsmodels.
"""

from __future__ import annotations

import warnings
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import statsmodels.api as sm
from scipy.stats import qmc
from statsmodels.tools.sm_exceptions import SingularMatrixWarning

from linesim.plan.tables import Floats, Ints

__all__ = ["Parabolas", "fitted", "lowest", "spread_out"]

_STEPS = 21
_PRICES = (0.0, *np.geomspace(0.01, 1e4, 61).tolist())
"""What a cap's figure is made to count for, one after another, until the cap holds."""


@dataclass(frozen=True)
class Parabolas:
    """A sum of parabolas, one for each variable, 0 at the middle.

    Attributes
    ----------
    slope, bend : array
        Of each variable: slope x + bend x².
    covariance : array
        Of the slopes and then the bends.
    """

    slope: Floats
    bend: Floats
    covariance: Floats

    def at(self, variable: int, x: Floats) -> Floats:
        """What one variable adds."""
        answer: Floats = self.slope[variable] * x + self.bend[variable] * x * x
        return answer

    def error(self, variable: int, x: Floats) -> Floats:
        """Standard error of what one variable adds."""
        count = len(self.slope)
        of = self.covariance
        square = of[variable, variable] * x**2 + of[count + variable, count + variable] * x**4
        square = square + 2.0 * of[variable, count + variable] * x**3
        answer: Floats = np.sqrt(np.maximum(square, 0.0))
        return answer


def spread_out(count: int, variables: int, width: float, seed: int) -> Floats:
    """Points that fill a box evenly: Latin hypercube sampling.

    Parameters
    ----------
    count, variables : int
        Points and variables, 1 or more of each.
    width : float
        Half the box's side.
    seed : int
        The same one gives the same points.

    Returns
    -------
    array, shape (count, variables)
        Between -width and width.
    """
    unit = qmc.LatinHypercube(d=variables, rng=np.random.default_rng(seed)).random(count)
    points: Floats = width * (2.0 * unit - 1.0)
    return points


def fitted(points: Floats, values: Floats, groups: Ints) -> Parabolas:
    """Parabolas through values by least squares, with a level of its own for each group.

    Parameters
    ----------
    points : array, shape (n, variables)
        Where.
    values : array, shape (n,)
        What was found there.
    groups : array of int, shape (n,)
        Which runs share their chance.

    Returns
    -------
    Parabolas
    """
    count = points.shape[1]
    both = np.hstack([points, points**2])
    # An interval that took one value tells nothing, and one that took two tells no bend.
    kinds = [len(np.unique(column)) for column in points.T]
    text = np.array([kind > 1 for kind in kinds] + [kind > 2 for kind in kinds])
    levels = (groups[:, None] == np.unique(groups)[None, :]).astype(np.float64)
    with warnings.catch_warnings():
        # What the runs cannot tell apart is shared out evenly, and its standard error says so.
        warnings.simplefilter("ignore", SingularMatrixWarning)
        answer = sm.OLS(values, np.hstack([both[:, text], levels])).fit()
        covariance = np.asarray(answer.cov_params())
    size = int(text.sum())
    terms, errors = np.zeros(2 * count), np.zeros((2 * count, 2 * count))
    terms[text] = answer.params[:size]
    errors[np.ix_(text, text)] = covariance[:size, :size]
    return Parabolas(terms[:count], terms[count:], errors)


def lowest(goal: Parabolas, caps: Sequence[Parabolas], rooms: Sequence[float], width: float) -> Floats:
    """Where a sum of parabolas is least within a box, and others rise by no more than there is room for.

    Parameters
    ----------
    goal : Parabolas
        What is to be least.
    caps : sequence of Parabolas
        What is capped.
    rooms : sequence of float
        By how much each of these may rise from the middle; less than 0 if it has to fall.
    width : float
        Half the box's side.

    Returns
    -------
    array
        One figure for each variable. A variable stays at 0 unless its gain is above its own standard error.
    """
    grid = np.linspace(-width, width, _STEPS)
    best = np.zeros(len(goal.slope))
    for price in _PRICES:
        best = np.array([_lowest_of(goal, caps, at, grid, price) for at in range(len(goal.slope))])
        rises = [sum(float(cap.at(at, best[at])) for at in range(len(best))) for cap in caps]
        if all(rise <= room for rise, room in zip(rises, rooms, strict=True)):
            return best
    return best


def _lowest_of(goal: Parabolas, caps: Sequence[Parabolas], at: int, grid: Floats, price: float) -> float:
    """Where one variable does best if what is capped counts for a price."""
    total = goal.at(at, grid)
    error = goal.error(at, grid) ** 2
    for cap in caps:
        total = total + price * cap.at(at, grid)
        error = error + (price * cap.error(at, grid)) ** 2
    clear = total + np.sqrt(error) < 0.0
    return float(grid[np.argmin(np.where(clear, total, np.inf))]) if clear.any() else 0.0
