"""Edges that broke or were still whole, where breaking hangs on the edge's own life: that life summed out.

In the model an edge breaks at a share of its own life, Weibull; so one that broke early was likelier a short-lived
one, and one still whole likelier a long-lived one, than if breaking came by itself. At minutes t the logarithm of the
life is mu + sigma z with z above z_t = (ln t - mu) / sigma, and the share reached is exp(sigma (z_t - z)). Summed over
z by Gauss-Legendre, close about z_t.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from scipy.special import logsumexp

from linesim.plan.tables import Floats

__all__ = ["Breaks", "summed_out"]

_AT, _WEIGHT = np.polynomial.legendre.leggauss(64)
_AT, _WEIGHT = 0.5 * (_AT + 1.0), 0.5 * _WEIGHT
_FAR = 22.0
_BEYOND = _FAR * _AT**2
_LOG_WEIGHT = np.log(2.0 * _FAR * _AT * _WEIGHT)
_MOST = 500.0
_LEAST = -17.0
"""Below, so little of either distribution lies that a life is looked for from here on."""


@dataclass(frozen=True)
class Breaks:
    """When edges break, and which of them did.

    Attributes
    ----------
    is_broken : ndarray of bool, (n,)
        Of each life.
    shape, scale : float
        Weibull of the life share of breaking.
    """

    is_broken: NDArray[np.bool_]
    shape: float
    scale: float

    def among(self, chosen: NDArray[np.bool_]) -> Breaks:
        """The same of some of the lives."""
        return Breaks(self.is_broken[chosen], self.shape, self.scale)


def summed_out(
    z: Floats, sigma: float | Floats, density: Callable[[Floats], tuple[Floats, Floats]], breaks: Breaks
) -> tuple[Floats, Floats, Floats]:
    """Logarithm of the chance that an edge broke at, or was whole up to, z, and its slopes by mu and by ln sigma.

    Parameters
    ----------
    z : ndarray of shape (n, m)
        Of the minutes of each edge, at each node.
    sigma : float or ndarray of shape (m,)
        Scatter of the logarithm of a life.
    density : callable
        Logarithm of the standard density and its slope.
    breaks : Breaks
        Of these n edges.
    """
    wide = np.broadcast_to(np.asarray(sigma, float), z.shape)[..., None]
    low = np.maximum(z, _LEAST)[..., None]
    moves = (z > _LEAST)[..., None]
    at = low + _BEYOND
    log_share = wide * (z[..., None] - at)
    powered = np.exp(np.minimum(breaks.shape * (log_share - np.log(breaks.scale)), _MOST))
    is_broken = breaks.is_broken[:, None, None]
    broke = np.where(is_broken, np.log(breaks.shape) + breaks.shape * (log_share - np.log(breaks.scale)), 0.0) - powered
    by_share = np.where(is_broken, breaks.shape, 0.0) - breaks.shape * powered
    log_f, steep = density(at)
    every = _LOG_WEIGHT + log_f + broke
    value = logsumexp(every, axis=-1)
    share = np.exp(every - value[..., None])
    by_mu = np.where(moves, -steep / wide, -by_share)
    by_log_sigma = np.where(moves, -steep * z[..., None] - by_share * wide * _BEYOND, -by_share * wide * at)
    return value, (share * by_mu).sum(axis=-1), (share * by_log_sigma).sum(axis=-1)
