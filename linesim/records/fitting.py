"""The likeliest parameters, and their profile intervals: what one may be while the others fit as well as they can."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray
from scipy.optimize import brentq, minimize
from scipy.stats import chi2, t

from linesim.records.likelihood import Family, Floats, Likelihood, Lives, Prior

__all__ = ["Fit", "Interval", "fit_lives", "profile"]

CONFIDENCE = 0.95
_FURTHEST = 12.0
"""How far from its best value a logarithm or an exponent is looked for; past that it is not bounded."""


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


@dataclass(frozen=True)
class Fit:
    """What was fitted.

    Attributes
    ----------
    likelihood : Likelihood
        Of what.
    theta : ndarray
        The likeliest parameters.
    value : float
        Logarithm of the likelihood there (the prior not counted).
    intervals : tuple of Interval
        Of the mean life's logarithm, the slopes, ln sigma and ln tau.
    prior_shares : ndarray
        How much of what is known of each parameter comes from the prior, 0 to 1.
    """

    likelihood: Likelihood
    theta: Floats
    value: float
    intervals: tuple[Interval, ...]
    prior_shares: Floats

    @property
    def sigma(self) -> float:
        """Scatter of the logarithm of a life."""
        return float(np.exp(self.theta[self.likelihood.slopes + 1]))

    @property
    def family(self) -> Family:
        """Kind of distribution."""
        return self.likelihood.family


def fit_lives(lives: Lives, family: Family, prior: Prior | None = None, *, is_mean: bool = True) -> Fit | None:
    """Fit lives.

    Parameters
    ----------
    lives : Lives
        At least one of which ended, unless there is a prior.
    family : str
        Kind of distribution.
    prior : Prior, optional
        What is thought beforehand.
    is_mean : bool
        Whether the first parameter is the mean's logarithm, or that of the middle (scale of a Weibull).

    Returns
    -------
    Fit or None
        None where the data set no estimate: fewer lives ended than there are parameters, or the likelihood rises for
        ever.
    """
    likelihood = Likelihood(lives, family, prior, is_mean=is_mean)
    if prior is None and (lives.ended <= likelihood.slopes + 1 or not _has_spread(lives)):
        return None
    best = _best(likelihood, _start(lives, likelihood))
    if best is None:
        return None
    theta = best[0]
    steepness = _steepness(likelihood, theta)
    if not np.isfinite(steepness).all() or np.linalg.eigvalsh(steepness).min() <= 1e-9:
        return None
    value = -replace(likelihood, prior=None)(theta)[0]
    intervals = tuple(
        profile(_asked(likelihood, at), theta, at, _limit(likelihood, at)) for at in range(likelihood.size)
    )
    return Fit(likelihood, theta, value, intervals, _prior_shares(steepness, prior))


def _asked(likelihood: Likelihood, at: int) -> Likelihood:
    """The likelihood for the interval of a parameter: for sigma without the lean that fitting the others brings."""
    is_sigma = at == likelihood.slopes + 1 and likelihood.prior is None
    return replace(likelihood, adjusted=float(likelihood.slopes + 1)) if is_sigma else likelihood


def _limit(likelihood: Likelihood, at: int) -> float:
    """By how much the logarithm of the likelihood may fall within the interval.

    With so many lives ended as degrees of freedom are left, t in place of the normal: exact for slopes of whole
    lognormal lives, and the usual half of chi-square where many ended.
    """
    usual = 0.5 * float(chi2.ppf(CONFIDENCE, 1))
    left = likelihood.lives.ended - likelihood.slopes - 1
    if likelihood.prior is not None or at == likelihood.slopes + 1 or left < 1:
        return usual
    far = float(t.ppf(0.5 + 0.5 * CONFIDENCE, left))
    return 0.5 * likelihood.lives.ended * float(np.log1p(far**2 / left))


def _has_spread(lives: Lives) -> bool:
    """Whether the lives differ, and what they hang on varies in all directions among those that ended."""
    ended = np.isfinite(lives.upper)
    x = np.column_stack([np.ones(int(ended.sum())), lives.x[ended]])
    return bool(np.linalg.matrix_rank(x, tol=1e-6) == x.shape[1]) and np.unique(lives.upper[ended]).size > 1


def _start(lives: Lives, likelihood: Likelihood) -> Floats:
    """Parameters to begin from: least squares on the lives as if all had ended."""
    middle = np.log(
        np.where(
            np.isinf(lives.upper),
            1.3 * lives.lower,
            0.5 * (lives.lower + np.where(np.isinf(lives.upper), 0.0, lives.upper)),
        ).clip(1e-9)
    )
    x = np.column_stack([np.ones(middle.size), lives.x])
    first = np.zeros(likelihood.size)
    first[: x.shape[1]] = np.linalg.lstsq(x, middle, rcond=None)[0]
    misses = middle - x @ first[: x.shape[1]]
    first[likelihood.slopes + 1] = np.log(np.clip(misses.std(), 0.05, 3.0))
    if likelihood.has_groups:
        first[-1] = first[likelihood.slopes + 1] - 1.0
    return first


def _best(likelihood: Likelihood, start: Floats) -> tuple[Floats, float] | None:
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


def _steepness(likelihood: Likelihood, theta: Floats) -> Floats:
    """Second derivatives of minus the logarithm of the likelihood, by differences of its slope."""
    step = 1e-4
    rows = [
        (likelihood(theta + step * unit)[1] - likelihood(theta - step * unit)[1]) / (2.0 * step)
        for unit in np.eye(theta.size)
    ]
    matrix = np.array(rows)
    return 0.5 * (matrix + matrix.T)


def _prior_shares(steepness: Floats, prior: Prior | None) -> Floats:
    """Share of the knowledge of each parameter that the prior brings: variance left over variance thought before."""
    if prior is None:
        return np.zeros(steepness.shape[0])
    return np.clip(np.diag(np.linalg.inv(steepness)) / prior.spread**2, 0.0, 1.0)


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
    top = _best(likelihood, theta)
    if top is None:
        return Interval(float(theta[at]), -np.inf, np.inf)
    best, least = top
    bounds = [_bound(likelihood, best, at, least + limit, side) for side in (-1.0, 1.0)]
    return Interval(float(theta[at]), min(bounds[0], float(theta[at])), max(bounds[1], float(theta[at])))


def _bound(likelihood: Likelihood, best: Floats, at: int, level: float, side: float) -> float:
    """Where the profile meets a level on one side; infinite if it does not."""
    others = np.arange(best.size) != at
    inside = best
    heights = {0.0: -1.0}  # once worked out a height stays, so that a root that was bracketed stays bracketed

    def above(away: float) -> float:
        nonlocal inside
        if away not in heights:
            theta = _refitted(likelihood, inside, at, best[at] + side * away, others)
            heights[away] = float(np.nan_to_num(likelihood(theta)[0], nan=1e9, posinf=1e9)) - level
            inside = theta if heights[away] < 0.0 else inside
        return heights[away]

    near, far = 0.0, 0.05
    while above(far) < 0.0:
        near, far = far, 2.0 * far
        if far > _FURTHEST:
            return side * np.inf
    return float(best[at] + side * brentq(above, near, far, xtol=1e-4))


def _refitted(likelihood: Likelihood, start: Floats, at: int, value: float, others: NDArray[np.bool_]) -> Floats:
    """The likeliest parameters with one of them held."""
    theta = start.copy()
    theta[at] = value
    if not others.any():
        return theta

    def held(free: Floats) -> tuple[float, Floats]:
        theta[others] = free
        total, slope = likelihood(theta)
        return total, slope[others]

    bounds = [bound for bound, is_free in zip(_bounds(likelihood, start), others, strict=True) if is_free]
    with np.errstate(all="ignore"):
        answer = minimize(
            held, start[others], jac=True, method="L-BFGS-B", bounds=bounds, options={"maxiter": 200, "ftol": 1e-12}
        )
    theta[others] = answer.x
    return theta
