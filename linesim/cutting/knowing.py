"""What is not known beforehand of the mean life of a kind of edge."""

from __future__ import annotations

import math

from linesim.law import law
from linesim.normal import normal_from_uniform

__all__ = ["kind_life_factor", "unknown_sigma"]


@law
def unknown_sigma(known_within: float) -> float:
    """Standard deviation of the logarithm of a mean life that lies within a factor with 95 %: ln(f) / 1.959964.

    Parameters
    ----------
    known_within : float
        The factor, 1 or more.

    Notes
    -----
    Lognormal about the middle value, so that as many lives are above it as below. Elementary.

    >>> unknown_sigma(1.0), round(unknown_sigma(1.5), 6)
    (0.0, 0.206874)
    """
    return math.log(known_within) / 1.959963984540054


@law
def kind_life_factor(sigma: float, uniform: float) -> float:
    """What the life of all edges of a kind is multiplied by in one replication: lognormal of median 1.

    Parameters
    ----------
    sigma : float
        As `unknown_sigma` gives it.
    uniform : float
        The kind's luck, strictly between 0 and 1.

    >>> kind_life_factor(0.0, 0.9), kind_life_factor(unknown_sigma(1.5), 0.975) < 1.5001
    (1.0, True)
    """
    return math.exp(sigma * normal_from_uniform(uniform))
