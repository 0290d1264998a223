"""Constants of control charts, worked out anew from what defines them: integrals of the normal, by scipy.

The mean range of n standard normal values, d2, is the integral of 1 - Phi(x)**n - (1 - Phi(x))**n (Tippett 1925); of
two it is 2 / sqrt(pi). The run length of single weeks is one over the chance of a week beyond the limits. That of the
weighted mean follows its density from week to week, on a grid of midpoints, within the limits of each week (D. Brook
and D. A. Evans, Biometrika 59 (1972), 539-549, for constant ones; from memory).
"""

from __future__ import annotations

import numpy as np
import pytest
from scipy.integrate import quad
from scipy.stats import norm

from linesim.cutting.teeth import mean_range as tabled_range
from linesim.study.watching.chart import APART, FURTHEST, RUN_LENGTH_WEEKS, WEIGHT
from linesim.study.watching.expected import MOVING_RANGE

_GRID, _WEEKS = 401, 45


def mean_range(count: float) -> float:
    """d2 by its integral."""
    return 2.0 * quad(lambda x: 1.0 - norm.cdf(x) ** count - norm.sf(x) ** count, 0.0, 12.0)[0]


def run_length(furthest: float) -> float:
    """Weeks to the first alarm of the weighted mean and of single weeks beyond the furthest, nothing having moved."""
    spread = WEIGHT / (2.0 - WEIGHT) * (1.0 - (1.0 - WEIGHT) ** (2.0 * np.arange(1, _WEEKS + 1)))
    limits = APART * np.sqrt(spread)
    at, chance, stays = np.zeros(1), np.ones(1), [1.0]
    for limit in limits:
        edges = np.linspace(-limit, limit, _GRID + 1)
        low, high = ((edge[:, None] - (1.0 - WEIGHT) * at[None, :]) / WEIGHT for edge in (edges[:-1], edges[1:]))
        part = norm.cdf(np.clip(high, -furthest, furthest)) - norm.cdf(np.clip(low, -furthest, furthest))
        at, chance = 0.5 * (edges[:-1] + edges[1:]), part @ chance
        stays.append(float(chance.sum()))
    return sum(stays[:-1]) + stays[-1] / (1.0 - stays[-1] / stays[-2])  # the rest falls by the same share each week


def test_the_mean_range_of_normals() -> None:
    assert mean_range(2.0) == pytest.approx(2.0 / np.pi**0.5, abs=1e-9)
    assert pytest.approx(mean_range(2.0), abs=1e-12) == MOVING_RANGE
    for count in (2.0, 3.0, 4.0, 5.0, 6.0, 8.0, 10.0, 12.0, 16.0, 20.0, 25.0):
        assert tabled_range(count) == pytest.approx(mean_range(count), abs=6e-4), count


def test_run_lengths_between_false_alarms() -> None:
    """Single weeks 370, the weighted mean 366, both together as is said; grids of 401 and 601 differ by 0.02."""
    assert 1.0 / (2.0 * norm.sf(FURTHEST)) == pytest.approx(370.4, abs=0.05)
    assert run_length(np.inf) == pytest.approx(365.8, abs=0.1)
    assert run_length(FURTHEST) == pytest.approx(RUN_LENGTH_WEEKS, abs=0.5)
