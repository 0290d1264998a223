"""When edges break, by the share of their own life: fitted with each edge's life summed out.

An edge that was seen to be worn had not broken by the end of its life; one that broke, and one changed before, may have
had any longer life (`linesim.records.competing`).
"""

from __future__ import annotations

from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

from linesim.plan.tables import Floats
from linesim.records.competing import Breaks, summed_out
from linesim.records.fitting import Fit, fit_of
from linesim.records.likelihood import DENSITIES, Likelihood, Lives, Prior

__all__ = ["fit_breaks"]

_STEP = 1e-5
_MOST = 500.0


@dataclass(frozen=True)
class _BreakLikelihood(Likelihood):
    """Likelihood of the logarithm of the scale, and of one over the shape, with the lives as they were fitted.

    Attributes
    ----------
    z : ndarray of shape (n,)
        Of the minutes of each edge that was not seen to be worn.
    spread : float
        Scatter of the logarithm of a life.
    of_life : str
        Distribution of lives.
    worn : int
        Edges that were seen to be worn.
    """

    z: Floats = field(default_factory=lambda: np.zeros(0))
    spread: float = 1.0
    of_life: str = "lognormal"
    worn: int = 0

    def __call__(self, theta: Floats) -> tuple[float, Floats]:
        """Minus the logarithm of the likelihood, and its slope by differences."""
        units = _STEP * np.eye(2)
        slope = np.array([(self._minus(theta + unit) - self._minus(theta - unit)) / (2.0 * _STEP) for unit in units])
        return self._minus(theta), slope

    def _minus(self, theta: Floats) -> float:
        """Minus the logarithm of the likelihood."""
        scale, shape = float(np.exp(theta[0])), float(np.exp(-theta[1]))
        breaks = Breaks(np.isfinite(self.lives.upper), shape, scale)
        value = summed_out(self.z[:, None], self.spread, DENSITIES[self.of_life], breaks)[0]
        total = float(value.sum()) - self.worn * float(np.exp(min(-shape * theta[0], _MOST)))
        return -(total + self.adjusted * float(theta[1]) + self._before(theta)[0])


def fit_breaks(
    lives: Lives, fit: Fit, is_broken: NDArray[np.bool_], prior: Prior | None, *, is_whole: bool = True
) -> Fit | None:
    """Fit when edges break, given how their lives were fitted.

    Parameters
    ----------
    lives : Lives
        All edges.
    fit : Fit
        Of their lives.
    is_broken : ndarray of bool, (n,)
        Which of them broke.
    prior : Prior or None
        Of the logarithm of the scale, and of one over the shape.
    is_whole : bool
        Whether intervals are worked out.
    """
    own, theta = fit.likelihood, fit.theta
    tau = float(np.exp(theta[-1])) if own.has_groups else 0.0
    spread = float(np.hypot(fit.sigma, tau))
    middle = theta[0] - own.shift(theta) - 0.5 * own.is_mean * tau**2 + lives.x @ theta[1 : own.slopes + 1]
    open_ended = np.isinf(lives.upper)
    z = (np.log(np.maximum(lives.lower, 1e-300)) - middle)[open_ended] / spread
    share = np.exp(np.log(np.maximum(lives.lower, 1e-300)) - theta[0] - lives.x @ theta[1 : own.slopes + 1])[open_ended]
    broke = is_broken[open_ended]
    seen = Lives(share, np.where(broke, share, np.inf), np.zeros((share.size, 0)))
    likelihood = _BreakLikelihood(
        seen, "weibull", prior, is_mean=False, z=z, spread=spread, of_life=fit.family, worn=int((~open_ended).sum())
    )
    start = np.array([np.log(1.5), -np.log(3.0)]) if prior is None else prior.mean
    return fit_of(likelihood, start, has_intervals=is_whole)
