"""Many settings at once: spread designs, and what each interval does by itself, by regression towards a known trend.

Every run of a design tells something of every interval, so that thirty of them need few more runs than three. The model
is a sum over the intervals, each with what is worked out for it beforehand (its trend) and a parabola in its logarithm
for what that leaves out; the replications that runs share are taken out first. What parabolas can amount to is known
beforehand as a standard deviation (ridge regression, Bayesian reading), so that noise alone moves nothing far. Sources:
G. E. P. Box and K. B. Wilson, "On the experimental attainment of optimum conditions", Journal of the Royal Statistical
Society B 13 (1951), 1-45; A. E. Hoerl and R. W. Kennard, "Ridge regression", Technometrics 12 (1970), 55-67 (both from
memory); that a crude analytical trend betters a surrogate much: H. Shen, L. J. Hong and X. Zhang, "Enhancing stochastic
kriging for queueing simulation with stylized models", IISE Transactions 50 (2018); M. D. McKay, R. J. Beckman and W. J.
Conover, "A comparison of three methods for selecting values of input variables", Technometrics 21 (1979), 239-245 (from
memory). SciPy gives the very same points, but takes half a second to load.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, field, replace

import numpy as np

from linesim.plan.tables import Floats, Ints

__all__ = ["Parabolas", "Trend", "box", "filling_points", "fitted", "lowest", "summed", "with_trends"]

Trend = Callable[[Floats], Floats]
"""What is worked out for one variable beforehand, 0 at the middle."""

_STEPS = 21
_LEAST = 1e-15
"""What is less than such a share of the greatest is nothing, as for a pseudo-inverse."""

_PASSES = 4
"""Times that noise and coefficients are worked out from each other."""

_SOME_ERROR = 0.5
"""Share of its standard error that a gain must be above: what is known beforehand has taken most of the luck away."""

_PRICES = (0.0, *np.geomspace(0.01, 1e4, 61).tolist())
"""What a cap's figure is made to count for, one after another, until the cap holds."""


def _none() -> Floats:
    return np.zeros(0)


@dataclass(frozen=True)
class Parabolas:
    """A sum of parabolas, one for each variable, 0 at the middle, over what is worked out beforehand.

    Attributes
    ----------
    slope, bend : array
        Of each variable: slope x + bend x².
    covariance : array
        Of the slopes, then the bends, then the marks.
    marks : array
        What each mark adds.
    trends : tuple
        By variable what is worked out beforehand, or None; empty for none at all.
    """

    slope: Floats
    bend: Floats
    covariance: Floats
    marks: Floats = field(default_factory=_none)
    trends: tuple[Trend | None, ...] = ()

    def at(self, variable: int, x: Floats) -> Floats:
        """What one variable adds."""
        answer: Floats = self.slope[variable] * x + self.bend[variable] * x * x
        trend = self.trends[variable] if self.trends else None
        return answer if trend is None else answer + trend(x)

    def error(self, variable: int, x: Floats) -> Floats:
        """Standard error of what one variable adds."""
        count = len(self.slope)
        of = self.covariance
        square = of[variable, variable] * x**2 + of[count + variable, count + variable] * x**4
        square = square + 2.0 * of[variable, count + variable] * x**3
        answer: Floats = np.sqrt(np.maximum(square, 0.0))
        return answer

    def over(self, points: Floats, marks: Floats) -> Floats:
        """What is fitted, trends left out, at points; marks as for `fitted`."""
        answer: Floats = points @ self.slope + points**2 @ self.bend + marks @ self.marks
        return answer

    def sum_at(self, point: Floats, marks: Floats) -> tuple[float, float]:
        """What all variables and marks add at a point, and its standard error."""
        one, mark = point[None, :], marks[None, :]
        trend = sum(float(each(one[:, at])[0]) for at, each in enumerate(self.trends) if each is not None)
        terms = np.concatenate([point, point**2, marks])
        return float(self.over(one, mark)[0]) + trend, float(np.sqrt(max(terms @ self.covariance @ terms, 0.0)))


def filling_points(count: int, variables: int, width: float, seed: int) -> Floats:
    """Points that fill a box evenly, by Latin hypercube sampling: one in each of so many slices of every variable.

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
    rng = np.random.default_rng(seed).spawn(1)[0]
    within = rng.random((count, variables))
    slices = np.tile(np.arange(1, count + 1), (variables, 1))
    for of_variable in slices:
        rng.shuffle(of_variable)
    points: Floats = width * (2.0 * (slices.T - within) / count - 1.0)
    return points


def fitted(
    points: Floats, values: Floats, groups: Ints, prior: Floats | None = None, marks: Floats | None = None
) -> Parabolas:
    """Parabolas through values by least squares, with a level of its own for each group.

    Parameters
    ----------
    points : array, shape (n, variables)
        Where.
    values : array, shape (n,)
        What was found there, trends taken off.
    groups : array of int, shape (n,)
        Which runs share their chance.
    prior : array, optional
        Standard deviations of slopes, bends and marks as known beforehand, above 0; without any of them what the runs
        cannot tell apart is shared out evenly.
    marks : array, shape (n, marks), optional
        1 where a run has a mark, 0 where it has not.

    Returns
    -------
    Parabolas
        Without trends.
    """
    variables = points.shape[1]
    marks = np.zeros((len(values), 0)) if marks is None else marks
    numbers = np.unique(groups, return_inverse=True)[1]
    terms = _less_means(np.hstack([points, points**2, marks]), numbers)
    left = _less_means(values[:, None], numbers)[:, 0]
    weight = np.ones(terms.shape[1]) if prior is None else prior
    # With each term in units of what is known of it beforehand, noise is all that changes from pass to pass.
    within, axes = np.linalg.eigh(weight[:, None] * (terms.T @ terms) * weight)
    along = axes.T @ (weight * (terms.T @ left))
    within = np.where(within > _LEAST * within.max(initial=0.0), within, 0.0)
    free = len(values) - int(numbers.max(initial=0)) - 1
    noise = float(left @ left) / max(free, 1)
    answer, spread = np.zeros(len(along)), np.zeros(len(along))
    for _ in range(_PASSES):
        total = within if prior is None else within + noise
        spread = np.divide(1.0, total, out=np.zeros(len(total)), where=total > 0.0)
        answer = weight * (axes @ (spread * along))
        used = float(spread @ within)
        noise = float(np.sum((left - terms @ answer) ** 2)) / max(free - used, 1.0)
    scaled = weight[:, None] * axes
    covariance: Floats = noise * (scaled * spread) @ scaled.T
    return Parabolas(answer[:variables], answer[variables : 2 * variables], covariance, answer[2 * variables :])


def _less_means(table: Floats, numbers: Ints) -> Floats:
    """Each column less its mean within each group."""
    sums = np.zeros((int(numbers.max(initial=0)) + 1, table.shape[1]))
    np.add.at(sums, numbers, table)
    means: Floats = sums / np.maximum(np.bincount(numbers, minlength=len(sums)), 1)[:, None]
    return np.asarray(table - means[numbers])


def summed(parts: Sequence[tuple[Parabolas, Ints]], variables: int) -> Parabolas:
    """Several fits as one: what each adds, their errors taken as independent.

    Parameters
    ----------
    parts : sequence of (Parabolas, array of int)
        Fits with the same marks, and which variables each is of.
    variables : int
        Of all together.

    Returns
    -------
    Parabolas
        Without trends.
    """
    marks = len(parts[0][0].marks)
    terms, errors = np.zeros(2 * variables + marks), np.zeros((2 * variables + marks,) * 2)
    for of, own in parts:
        at = np.concatenate([own, variables + own, 2 * variables + np.arange(marks)])
        terms[at] += np.concatenate([of.slope, of.bend, of.marks])
        errors[np.ix_(at, at)] += of.covariance
    return Parabolas(terms[:variables], terms[variables : 2 * variables], errors, terms[2 * variables :])


def with_trends(of: Parabolas, trends: Sequence[Trend | None]) -> Parabolas:
    """The same over what is worked out beforehand."""
    return replace(of, trends=tuple(trends))


def box(variables: int, width: float) -> list[Floats]:
    """Evenly spaced values of each variable, between -width and width."""
    return [np.linspace(-width, width, _STEPS)] * variables


def lowest(goal: Parabolas, caps: Sequence[Parabolas], rooms: Sequence[float], grids: Sequence[Floats]) -> Floats:
    """Where a sum of parabolas is least among allowed values, and others rise by no more than there is room for.

    Parameters
    ----------
    goal : Parabolas
        What is to be least.
    caps : sequence of Parabolas
        What is capped.
    rooms : sequence of float
        By how much each of these may rise from the middle; less than 0 if it has to fall.
    grids : sequence of array
        Values that each variable may take.

    Returns
    -------
    array
        One figure for each variable. A variable stays at 0 unless its gain is above half its own standard error.
    """
    best = np.zeros(len(goal.slope))
    for price in _PRICES:
        best = np.array([_lowest_of(goal, caps, at, grid, price) for at, grid in enumerate(grids)])
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
    clear = total + _SOME_ERROR * np.sqrt(error) < 0.0
    return float(grid[np.argmin(np.where(clear, total, np.inf))]) if clear.any() else 0.0
