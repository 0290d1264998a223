"""What lives may be, drawn: parameters drawn by their likelihood, and lives drawn from each.

Parameters are drawn by importance from a multivariate t about the likeliest ones (Tierney 1994; from memory), with a
flat prior on the mean's logarithm, the slopes and ln sigma, or the handbook's where it entered. For whole lives of
either distribution, and for lives cut off at a number of failures, intervals foretold with that prior hold exactly as
often as they say, however few lives there are (J. F. Lawless, Statistical Models and Methods for Lifetime Data, 2003,
sections 5.1 and 6.1; from memory). The spread of groups has a flat prior. Where the data cannot tell two distributions
apart, each is drawn as often as it is likely.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from scipy.special import gammaln, logsumexp

from linesim.handbook import Grade
from linesim.plan.tables import Floats
from linesim.records.fitting import Fit, fit_lives
from linesim.records.handbook_prior import WITHIN, prior_for
from linesim.records.likelihood import FAMILIES
from linesim.records.lives import SetLives
from linesim.records.profiles import steepness_of

__all__ = ["DRAWS", "LifeDraws", "draw_lives"]

DRAWS = 2000
"""Draws of the parameters; a bound at 95 % is then sure to about a tenth of the standard deviation."""
_TRIED = 2000
_FREEDOM = 4.0
_WIDER = 1.5
_LN_SIGMA = (np.log(0.02), np.log(3.0))
"""A scatter of lives below 2 % or above 300 % is not looked at."""


@dataclass(frozen=True)
class LifeDraws:
    """Parameters of the lives of one set, drawn.

    Attributes
    ----------
    data : SetLives
        What they were fitted to.
    ln_mean : ndarray of shape (draws,)
        Logarithm of the mean life at the reference.
    slopes : ndarray of shape (draws, k)
        In the order of ``data.lives.x``.
    sigma, tau : ndarray of shape (draws,)
        Scatter of the logarithm of a life, and of groups; tau is 0 where there are none.
    is_weibull : ndarray of bool, (draws,)
        Which distribution.
    """

    data: SetLives
    ln_mean: Floats
    slopes: Floats
    sigma: Floats
    tau: Floats
    is_weibull: np.ndarray

    def means(self, x: Floats) -> Floats:
        """Mean lives at some conditions, minutes.

        Parameters
        ----------
        x : ndarray of shape (n, k)
            Conditions, as rows of ``data.lives.x``.

        Returns
        -------
        ndarray of shape (draws, n)
        """
        answer: Floats = np.exp(self.ln_mean[:, None] + self.slopes @ x.T)
        return answer

    def lives(self, x: Floats, groups: Sequence[str], chance: np.random.Generator) -> Floats:
        """Lives of edges that are yet to be seen, minutes.

        Parameters
        ----------
        x : ndarray of shape (n, k)
            Conditions of each.
        groups : sequence of str
            Batch or machine of each; edges of the same name share its luck, which is drawn anew.
        chance : numpy Generator
            What is drawn with.

        Returns
        -------
        ndarray of shape (draws, n)
            Each row is drawn with the same parameters.
        """
        size = (self.ln_mean.size, len(x))
        shift = np.where(self.is_weibull, gammaln(1.0 + self.sigma), 0.5 * self.sigma**2) + 0.5 * self.tau**2
        z = np.where(self.is_weibull[:, None], np.log(chance.exponential(size=size)), chance.normal(size=size))
        names = list(dict.fromkeys(groups))
        luck = chance.normal(size=(size[0], len(names)))[:, [names.index(each) for each in groups]]
        logs = self.ln_mean - shift
        answer: Floats = np.exp(logs[:, None] + self.slopes @ x.T + self.tau[:, None] * luck + self.sigma[:, None] * z)
        return answer


def draw_lives(
    data: SetLives, grade: Grade | None, chance: np.random.Generator, count: int = DRAWS
) -> LifeDraws | None:
    """Draw the parameters of the lives of one set.

    Parameters
    ----------
    data : SetLives
        Its lives.
    grade : Grade, optional
        The handbook's figures, which enter as a prior where fewer than ten edges ended.
    chance : numpy Generator
        What is drawn with.
    count : int
        How many draws are wanted.

    Returns
    -------
    LifeDraws or None
        None where the records set no estimate.
    """
    prior = prior_for(data, grade) if data.lives.ended < WITHIN["fewest"] and grade is not None else None
    fits = [fit for family in FAMILIES if (fit := fit_lives(data.lives, family, prior, has_intervals=False))]
    if not fits:
        return None
    tried = [_tried(fit, chance) for fit in fits]
    weights = np.concatenate([weight for _, weight in tried])
    at = chance.choice(weights.size, size=count, p=np.exp(weights - logsumexp(weights)))
    theta = np.vstack([points for points, _ in tried])[at]
    number = fits[0].likelihood.slopes
    is_weibull = np.repeat([fit.family == "weibull" for fit in fits], _TRIED)[at]
    tau = np.exp(theta[:, number + 2]) if fits[0].likelihood.has_groups else np.zeros(count)
    return LifeDraws(data, theta[:, 0], theta[:, 1 : number + 1], np.exp(theta[:, number + 1]), tau, is_weibull)


def _tried(fit: Fit, chance: np.random.Generator) -> tuple[Floats, Floats]:
    """Parameters tried about the likeliest, and the logarithm of the weight of each."""
    likelihood, size = fit.likelihood, fit.theta.size
    values, vectors = np.linalg.eigh(steepness_of(likelihood, fit.theta))
    measure = vectors * (_WIDER / np.sqrt(np.maximum(values, 1e-3)))
    normal = chance.normal(size=(_TRIED, size))
    stretch = np.sqrt(_FREEDOM / chance.chisquare(_FREEDOM, size=_TRIED))
    points = fit.theta + (stretch[:, None] * normal) @ measure.T
    away = (stretch**2) * (normal**2).sum(axis=1)
    density = -0.5 * (_FREEDOM + size) * np.log1p(away / _FREEDOM) - np.log(np.abs(np.linalg.det(measure)))
    ln_sigma = points[:, likelihood.slopes + 1]
    heights = likelihood.heights(points)
    if likelihood.has_groups:  # a flat prior on the spread itself, so that none is no more likely than it should be
        heights += points[:, likelihood.slopes + 2]
        heights[points[:, likelihood.slopes + 2] > _LN_SIGMA[1]] = -np.inf
    heights[(ln_sigma < _LN_SIGMA[0]) | (ln_sigma > _LN_SIGMA[1]) | ~np.isfinite(heights)] = -np.inf
    return points, heights - density
