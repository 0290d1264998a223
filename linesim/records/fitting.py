"""The likeliest parameters, and their profile intervals: what one may be while the others fit as well as they can."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np
from scipy.stats import chi2, t

from linesim.plan.tables import Floats
from linesim.records.likelihood import Family, Likelihood, Lives, Prior
from linesim.records.profiles import Interval, best_of, profile, steepness_of

__all__ = ["Fit", "Interval", "fit_lives", "profile", "with_intervals"]

CONFIDENCE = 0.95


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
    return fit_of(likelihood, _start(lives, likelihood), has_intervals=has_intervals)


def fit_of(likelihood: Likelihood, start: Floats, *, has_intervals: bool = True) -> Fit | None:
    """The likeliest parameters of a likelihood.

    Parameters
    ----------
    likelihood : Likelihood
        Of what.
    start : ndarray
        Where to begin.
    has_intervals : bool
        As for `fit_lives`.
    """
    best = best_of(likelihood, start)
    if best is None:
        return None
    theta = best[0]
    steepness = steepness_of(likelihood, theta)
    if not np.isfinite(steepness).all() or np.linalg.eigvalsh(steepness).min() <= 1e-9:
        return None
    value = -replace(likelihood, prior=None)(theta)[0]
    fit = Fit(likelihood, theta, value, (), _prior_shares(steepness, likelihood.prior))
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


def _prior_shares(steepness: Floats, prior: Prior | None) -> Floats:
    """Share of the knowledge of each parameter that the prior brings: variance left over variance thought before."""
    if prior is None:
        return np.zeros(steepness.shape[0])
    return np.clip(np.diag(np.linalg.inv(steepness)) / prior.spread**2, 0.0, 1.0)
