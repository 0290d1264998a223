"""The likeliest parameters, and their profile intervals: what one may be while the others fit as well as they can."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace

import numpy as np
from scipy.optimize import brentq, minimize
from scipy.stats import chi2, t

from linesim.records.likelihood import Family, Floats, Likelihood, Lives, Prior

__all__ = ["Fit", "Interval", "fit_lives", "profile", "with_intervals"]

CONFIDENCE = 0.95
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


def fit_lives(
    lives: Lives, family: Family, prior: Prior | None = None, *, is_mean: bool = True, has_intervals: bool = True
) -> Fit | None:
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
    has_intervals : bool
        Whether intervals are worked out, which takes most of the time; none stand there if not.

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
    fit = Fit(likelihood, theta, value, (), _prior_shares(steepness, prior))
    return with_intervals(fit) if has_intervals else fit


def with_intervals(fit: Fit, lead: float = 0.0) -> Fit:
    """The same fit with the profile interval of every parameter.

    Parameters
    ----------
    fit : Fit
        Without intervals.
    lead : float
        Logarithms of likelihood by which another distribution leads; the profile has so much less room to fall.

    Returns
    -------
    Fit
        Without intervals still, if the lead leaves no room.
    """
    likelihood, sizes = fit.likelihood, range(fit.likelihood.size)
    limits = [_limit(likelihood, at) - lead for at in sizes]
    if min(limits) <= 0.0:
        return fit
    spans = (profile(_asked(likelihood, at), fit.theta, at, limits[at]) for at in sizes)
    return replace(fit, intervals=tuple(spans))


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
    sides = _Sides(likelihood, top[0], _steepness(likelihood, top[0]), at)
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
