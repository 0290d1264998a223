"""Likelihood of lives that ended, lasted longer, or ended between two looks; Weibull or lognormal, with groups.

The logarithm of a life is mu + slopes · x + u + sigma z: z normal (lognormal lives) or of the smallest extreme
(Weibull), u normal from group to group (batches, machines) and summed out by Gauss-Hermite. The parameters are the
logarithm of the mean life at x = 0, the slopes, ln sigma, and ln tau where there are groups. numpy and scipy do the
numerics, as groups, what was known before, and edges that broke all enter one likelihood; without these it gives what
surpyval (MIT) gives, to which `tests/outside` holds it.
Source: W. Q. Meeker and L. A. Escobar, Statistical Methods for Reliability Data (1998), ch. 8 and 17 (from memory).
"""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Literal

import numpy as np
from numpy.typing import NDArray
from scipy.special import digamma, gammaln, log_ndtr, logsumexp, ndtr

from linesim.plan.tables import Floats
from linesim.records.competing import Breaks, summed_out

__all__ = ["FAMILIES", "Family", "Likelihood", "Lives", "Prior"]

Family = Literal["lognormal", "weibull"]
FAMILIES: tuple[Family, ...] = ("lognormal", "weibull")
_NODES, _WEIGHTS = np.polynomial.hermite_e.hermegauss(31)
_STEEPEST = 30.0
_HALF_LN_TAU = 0.5 * np.log(2.0 * np.pi)


@dataclass(frozen=True)
class Lives:
    """Lives as they were recorded.

    Attributes
    ----------
    lower, upper : ndarray of shape (n,)
        Each life lies between; alike where it was seen to end, infinite above where it was not, 0 below where nothing
        is known. In any one unit.
    x : ndarray of shape (n, k)
        What it hangs on, as logarithms from a reference.
    group : ndarray of shape (n,)
        Number of the batch or machine, from 0; empty without such.
    breaks : Breaks or None
        When edges break by their own life, and which did; unless given, a break says no more than that it was good.
    """

    lower: Floats
    upper: Floats
    x: Floats
    group: NDArray[np.int64] = field(default_factory=lambda: np.zeros(0, np.int64))
    breaks: Breaks | None = None

    @property
    def ended(self) -> int:
        """How many were seen to end."""
        return int(np.isfinite(self.upper).sum())


@dataclass(frozen=True)
class Prior:
    """What is thought of the parameters beforehand: normal, one by one; an infinite spread says nothing.

    Attributes
    ----------
    mean, spread : ndarray of shape (parameters,)
        Means and standard deviations.
    """

    mean: Floats
    spread: Floats


@dataclass(frozen=True)
class Likelihood:
    """Logarithm of the likelihood of lives, with its slope.

    Attributes
    ----------
    lives : Lives
        The data.
    family : str
        Kind of distribution.
    prior : Prior or None
        Added where it is given.
    adjusted : float
        Times ln sigma is added: the number of slopes and mean gives the likelihood of sigma without the lean that
        fitting them brings (Cox and Reid 1987; for whole lognormal lives the restricted likelihood).
    is_mean : bool
        Whether the first parameter is the mean's logarithm, or mu itself.
    """

    lives: Lives
    family: Family
    prior: Prior | None = None
    adjusted: float = 0.0
    is_mean: bool = True

    @property
    def slopes(self) -> int:
        """How many slopes there are."""
        return int(self.lives.x.shape[1])

    @property
    def has_groups(self) -> bool:
        """Whether groups scatter."""
        return self.lives.group.size > 0

    @property
    def size(self) -> int:
        """How many parameters there are."""
        return self.slopes + 2 + self.has_groups

    def shift(self, theta: Floats) -> float:
        """By how much the first parameter lies above mu, for a group in the middle."""
        return _mean_over_middle(self.family, float(np.exp(theta[self.slopes + 1])))[0] if self.is_mean else 0.0

    def __call__(self, theta: Floats) -> tuple[float, Floats]:
        """Return minus the logarithm of the likelihood, and its slope."""
        log_sigma, tau = theta[self.slopes + 1], np.exp(theta[-1]) if self.has_groups else 0.0
        sigma = np.exp(log_sigma)
        shift, by_sigma = _mean_over_middle(self.family, sigma) if self.is_mean else (0.0, 0.0)
        by_tau = tau**2 if self.is_mean else 0.0
        middle = theta[0] - shift - 0.5 * by_tau + self.lives.x @ theta[1 : self.slopes + 1]
        nodes = tau * _NODES if self.has_groups else np.zeros(1)
        with np.errstate(over="ignore", invalid="ignore"):
            value, by_mu, by_log_sigma = _each(self.lives, self.family, middle[:, None] + nodes[None, :], sigma)
        total, by_mu, by_log_sigma, by_node = self._summed(value, by_mu, by_log_sigma)
        slope = np.empty(self.size)
        slope[0] = by_mu.sum()
        slope[1 : self.slopes + 1] = self.lives.x.T @ by_mu
        slope[self.slopes + 1] = by_log_sigma.sum() - by_sigma * by_mu.sum() + self.adjusted
        if self.has_groups:
            slope[-1] = tau * by_node - by_tau * by_mu.sum()
        before, by_before = self._before(theta)
        return -(total + self.adjusted * log_sigma + before), -(slope + by_before)

    def heights(self, thetas: Floats) -> Floats:
        """Logarithm of the likelihood at many parameters at once, the prior counted; no slopes.

        Parameters
        ----------
        thetas : ndarray of shape (m, parameters)
            Parameters.
        """
        sigma = np.exp(thetas[:, self.slopes + 1])
        tau = np.exp(thetas[:, self.slopes + 2]) if self.has_groups else np.zeros(sigma.size)
        shift = np.array([_mean_over_middle(self.family, float(each))[0] if self.is_mean else 0.0 for each in sigma])
        middle = thetas[:, 0] - shift - 0.5 * self.is_mean * tau**2 + self.lives.x @ thetas[:, 1 : self.slopes + 1].T
        nodes = _NODES if self.has_groups else np.zeros(1)
        mu = middle[:, :, None] + tau[:, None] * nodes
        with np.errstate(all="ignore"):
            flat = _each(self.lives, self.family, mu.reshape(len(mu), -1), np.repeat(sigma, nodes.size))[0]
        value = flat.reshape(mu.shape)
        if self.has_groups:
            sums = np.zeros((int(self.lives.group.max()) + 1, *value.shape[1:]))
            np.add.at(sums, self.lives.group, value)
            value = logsumexp(sums, axis=2, b=_WEIGHTS / np.sqrt(2.0 * np.pi))[:, :, None]
        before = np.array([self._before(theta)[0] for theta in thetas]) if self.prior is not None else 0.0
        answer: Floats = value[:, :, 0].sum(axis=0) + before
        return answer

    def _summed(self, value: Floats, by_mu: Floats, by_log_sigma: Floats) -> tuple[float, Floats, Floats, float]:
        """Sum the groups out: total, slopes of each life, and the slope by the spread of groups."""
        if not self.has_groups:
            return float(value.sum()), by_mu[:, 0], by_log_sigma[:, 0], 0.0
        group = self.lives.group
        sums = np.zeros((int(group.max()) + 1, _NODES.size))
        np.add.at(sums, group, value)
        sums += np.log(_WEIGHTS / np.sqrt(2.0 * np.pi))
        top = sums.max(axis=1, keepdims=True)
        share = np.exp(sums - top)
        whole = share.sum(axis=1, keepdims=True)
        weight = (share / whole)[group]
        total = float((top[:, 0] + np.log(whole[:, 0])).sum())
        mu = (weight * by_mu).sum(axis=1)
        return total, mu, (weight * by_log_sigma).sum(axis=1), float((weight * by_mu * _NODES[None, :]).sum())

    def _before(self, theta: Floats) -> tuple[float, Floats]:
        """The prior's part and its slope."""
        if self.prior is None:
            return 0.0, np.zeros(self.size)
        away = (theta - self.prior.mean) / self.prior.spread
        return -0.5 * float(away @ away), -away / self.prior.spread


def _mean_over_middle(family: Family, sigma: float) -> tuple[float, float]:
    """By how much the logarithm of the mean lies above mu, and the slope of that by ln sigma."""
    if family == "lognormal":
        return 0.5 * sigma**2, sigma**2
    return float(gammaln(1.0 + sigma)), sigma * float(digamma(1.0 + sigma))


def _each(lives: Lives, family: Family, mu: Floats, sigma: float | Floats) -> tuple[Floats, Floats, Floats]:
    """Logarithm of each life's likelihood at each node, and its slopes by mu and by ln sigma."""
    value, by_mu, by_log_sigma = np.zeros_like(mu), np.zeros_like(mu), np.zeros_like(mu)
    is_exact = lives.lower == lives.upper
    is_longer = np.isinf(lives.upper)
    is_between = ~is_exact & ~is_longer
    density, beyond = (
        (_normal_density, _normal_beyond) if family == "lognormal" else (_extreme_density, _extreme_beyond)
    )
    if is_exact.any():
        y = np.log(lives.lower[is_exact])[:, None]
        z = (y - mu[is_exact]) / sigma
        log_f, steep = density(z)
        value[is_exact] = log_f - np.log(sigma) - y
        by_mu[is_exact], by_log_sigma[is_exact] = -steep / sigma, -z * steep - 1.0
    if is_longer.any():
        z = (np.log(np.maximum(lives.lower[is_longer], 1e-300))[:, None] - mu[is_longer]) / sigma
        if lives.breaks is not None:
            value[is_longer], by_mu[is_longer], by_log_sigma[is_longer] = summed_out(
                z, sigma, density, lives.breaks.among(is_longer)
            )
        else:
            log_s, hazard = beyond(z)
            value[is_longer] = log_s
            by_mu[is_longer], by_log_sigma[is_longer] = hazard / sigma, z * hazard
    if is_between.any():
        low = (np.log(np.maximum(lives.lower[is_between], 1e-300))[:, None] - mu[is_between]) / sigma
        high = (np.log(lives.upper[is_between])[:, None] - mu[is_between]) / sigma
        parts = _between(low, high, beyond)
        value[is_between], by_mu[is_between], by_log_sigma[is_between] = parts[0], parts[1] / sigma, parts[2]
    return value, by_mu, by_log_sigma


def _between(low: Floats, high: Floats, beyond: object) -> tuple[Floats, Floats, Floats]:
    """Logarithm of the chance between two z, and its slopes by mu times sigma and by ln sigma."""
    assert callable(beyond)
    (log_low, hazard_low), (log_high, hazard_high) = beyond(low), beyond(high)
    gap = np.minimum(log_high - log_low, -1e-12)
    value = log_low + np.log(-np.expm1(gap))
    f_low, f_high = hazard_low * np.exp(log_low - value), hazard_high * np.exp(log_high - value)
    return value, f_low - f_high, low * f_low - high * f_high


def _normal_density(z: Floats) -> tuple[Floats, Floats]:
    """Logarithm of the normal density, and its slope."""
    return -0.5 * z**2 - _HALF_LN_TAU, -z


def _normal_beyond(z: Floats) -> tuple[Floats, Floats]:
    """Logarithm of the normal chance beyond z, and the hazard."""
    log_s = log_ndtr(-z)
    return log_s, np.exp(-0.5 * z**2 - _HALF_LN_TAU - log_s)


def _extreme_density(z: Floats) -> tuple[Floats, Floats]:
    """Logarithm of the density of the smallest extreme, and its slope."""
    raised = np.exp(np.minimum(z, _STEEPEST))
    return z - raised, 1.0 - raised


def _extreme_beyond(z: Floats) -> tuple[Floats, Floats]:
    """Logarithm of the chance of the smallest extreme beyond z, and the hazard."""
    raised = np.exp(np.minimum(z, _STEEPEST))
    return -raised, raised


def share_ended(family: Family, z: Floats) -> Floats:
    """Share of lives that have ended by z."""
    ended: Floats = ndtr(z) if family == "lognormal" else -np.expm1(-np.exp(np.minimum(z, _STEEPEST)))
    return ended


DENSITIES = {"lognormal": _normal_density, "weibull": _extreme_density}
"""Logarithm of the standard density of a life's logarithm, and its slope."""
