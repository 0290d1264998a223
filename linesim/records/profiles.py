"""Where a likelihood is greatest, and how far one parameter may go while the others follow: profile intervals."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
from scipy.optimize import brentq, minimize

from linesim.plan.tables import Floats
from linesim.records.likelihood import Likelihood

__all__ = ["Interval", "best_of", "profile", "steepness_of"]

_FURTHEST = 12.0
"""How far from its best value a logarithm or an exponent is looked for; past that it is not bounded."""
_STEEPEST_LOG = 6.0
"""Greatest ln sigma, up or down, that is looked at."""
_NOWHERE = 1e10


@dataclass(frozen=True)
class Interval:
    """An estimate with its interval; a bound that the data do not set is infinite.

    Attributes
    ----------
    value, low, high : float
        The estimate and its bounds at 95 %.
    """

    value: float
    low: float
    high: float

    @property
    def is_bounded(self) -> bool:
        """Whether the data set both bounds."""
        return bool(np.isfinite(self.low) and np.isfinite(self.high))

    def through(self, rising: Callable[[float], float]) -> Interval:
        """The same of a figure that rises or falls with this one throughout."""
        low, high = sorted((_safe(rising, self.low), _safe(rising, self.high)))
        return Interval(rising(self.value), low, high)


def _safe(function: Callable[[float], float], value: float) -> float:
    """A function at a bound that may be infinite."""
    with np.errstate(all="ignore"):
        return float(function(value))


def best_of(likelihood: Likelihood, start: Floats) -> tuple[Floats, float] | None:
    """The likeliest parameters, and minus the logarithm of the likelihood there."""
    with np.errstate(all="ignore"):
        answer = minimize(
            likelihood,
            start,
            jac=True,
            method="L-BFGS-B",
            bounds=_bounds(likelihood, start),
            options={"maxiter": 500, "ftol": 1e-13, "gtol": 1e-8},
        )
    if not np.isfinite(answer.fun):
        return None
    return np.asarray(answer.x, float), float(answer.fun)


def _bounds(likelihood: Likelihood, start: Floats) -> list[tuple[float, float]]:
    """Where parameters are looked for."""
    free = [(start[0] - 25.0, start[0] + 25.0), *((-60.0, 60.0),) * likelihood.slopes, (-6.0, 3.0)]
    return [*free, (-6.0, 3.0)] if likelihood.has_groups else free


def steepness_of(likelihood: Likelihood, theta: Floats) -> Floats:
    """Second derivatives of minus the logarithm of the likelihood, by differences of its slope."""
    step = 1e-4
    rows = [
        (likelihood(theta + step * unit)[1] - likelihood(theta - step * unit)[1]) / (2.0 * step)
        for unit in np.eye(theta.size)
    ]
    matrix = np.array(rows)
    return 0.5 * (matrix + matrix.T)


def profile(likelihood: Likelihood, theta: Floats, at: int, limit: float) -> Interval:
    """The profile interval of one parameter.

    Parameters
    ----------
    likelihood : Likelihood
        Minus its logarithm is least at about `theta`.
    theta : ndarray
        The likeliest parameters.
    at : int
        Which parameter.
    limit : float
        By how much the logarithm may fall.
    """
    top = best_of(likelihood, theta)
    if top is None:
        return Interval(float(theta[at]), -np.inf, np.inf)
    sides = _Sides(likelihood, top[0], steepness_of(likelihood, top[0]), at)
    low, high = (sides.bound(top[1] + limit, limit, side) for side in (-1.0, 1.0))
    return Interval(float(theta[at]), min(low, float(theta[at])), max(high, float(theta[at])))


class _Sides:
    """The profile of one parameter on both sides of its best value.

    The others are looked for in the measure of their own spread, in which the likelihood is nearly round.
    """

    def __init__(self, likelihood: Likelihood, best: Floats, steepness: Floats, at: int) -> None:
        self.likelihood, self.best, self.at = likelihood, best, at
        self.others = np.arange(best.size) != at
        inverse = np.linalg.pinv(steepness, hermitian=True)
        self.spread = float(np.sqrt(max(inverse[at, at], 1e-8)))
        within = np.linalg.pinv(steepness[np.ix_(self.others, self.others)], hermitian=True)
        self.follow = -within @ steepness[self.others, at]
        values, vectors = np.linalg.eigh(within)
        self.measure = vectors * np.sqrt(np.clip(values, 1e-8, 4.0))

    def bound(self, level: float, limit: float, side: float) -> float:
        """Where the profile meets a level on one side; infinite if it does not."""
        inside, reached = self.best, 0.0
        heights = {0.0: -limit}  # once worked out a height stays, so that a root that was bracketed stays bracketed

        def above(away: float) -> float:
            nonlocal inside, reached
            if away not in heights:
                theta = self.refitted(inside, side * (away - reached))
                heights[away] = float(np.nan_to_num(self.likelihood(theta)[0], nan=1e9, posinf=1e9)) - level
                if heights[away] < 0.0:
                    inside, reached = theta, away
            return heights[away]

        near, far = 0.0, min(self.spread * (2.0 * limit) ** 0.5, _FURTHEST)
        while above(far) < 0.0:
            near, far = far, 1.5 * far
            if far > _FURTHEST:
                return side * np.inf
        return float(self.best[self.at] + side * brentq(above, near, far, xtol=1e-4 + 1e-3 * self.spread))

    def refitted(self, start: Floats, step: float) -> Floats:
        """The likeliest parameters with one of them held a step away."""
        theta = start.copy()
        theta[self.at] += step
        if not self.others.any():
            return theta
        base = start[self.others] + self.follow * step
        scatter = self.likelihood.slopes + 1

        def held(z: Floats) -> tuple[float, Floats]:
            theta[self.others] = base + self.measure @ z
            if abs(theta[scatter]) > _STEEPEST_LOG or not np.isfinite(theta).all():
                return _NOWHERE, np.zeros(z.size)
            total, slope = self.likelihood(theta)
            return (total, self.measure.T @ slope[self.others]) if np.isfinite(total) else (_NOWHERE, np.zeros(z.size))

        with np.errstate(all="ignore"):
            answer = minimize(held, np.zeros(base.size), jac=True, method="BFGS", options={"gtol": 1e-3, "maxiter": 60})
        theta[self.others] = base + self.measure @ answer.x
        return theta
