"""Edges that break by their own life: the sum over that life against an integral, and large logs fitted back."""

from __future__ import annotations

import numpy as np
import pytest
from scipy.integrate import quad

from linesim.records.competing import Breaks, summed_out
from linesim.records.edge_life import edge_life
from linesim.records.fitting import fit_lives
from linesim.records.likelihood import DENSITIES
from linesim.records.lives import lives_from_book
from tests.benchmarks.recovery import Truth, log_of

SHAPE, SCALE = 3.0, 1.3


@pytest.mark.parametrize("family", DENSITIES)
@pytest.mark.parametrize("is_broken", [False, True])
def test_the_sum_over_lives_is_the_integral(family: str, is_broken: bool) -> None:
    """From edges that had hardly begun to such as nearly all had worn out by; slopes against differences."""
    density, breaks = DENSITIES[family], Breaks(np.array([is_broken]), SHAPE, SCALE)
    for low in (-10.0, -5.0, -2.0, 0.0, 1.5, 3.0):
        for sigma in (0.1, 0.25, 0.8):

            def chance(z: float, low: float = low, sigma: float = sigma) -> float:
                powered = (np.exp(sigma * (low - z)) / SCALE) ** SHAPE
                return float(np.exp(density(np.array(z))[0] - powered) * (SHAPE * powered if is_broken else 1.0))

            exact = quad(chance, low, max(9.0, low + 4.0), limit=200, epsabs=0.0, epsrel=1e-9)[0]
            value, by_mu, by_log_sigma = (float(each[0, 0]) for each in at(low, sigma, family, breaks))
            assert value == pytest.approx(np.log(exact), abs=2e-4)
            step = 1e-5
            moved = [float(at(low - side * step / sigma, sigma, family, breaks)[0][0, 0]) for side in (1, -1)]
            assert by_mu == pytest.approx((moved[0] - moved[1]) / (2 * step), rel=1e-3, abs=1e-3)
            wider = [sigma * float(np.exp(side * step)) for side in (1, -1)]
            spread = [float(at(low * sigma / each, each, family, breaks)[0][0, 0]) for each in wider]
            assert by_log_sigma == pytest.approx((spread[0] - spread[1]) / (2 * step), rel=1e-3, abs=1e-3)


def at(z: float, sigma: float, family: str, breaks: Breaks) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
    return summed_out(np.array([[z]]), sigma, DENSITIES[family], breaks)


def test_a_large_log_gives_life_and_breaking_back() -> None:
    """1,500 edges, a quarter broken: mean life of 40 min within 4 standard errors of 1 %, taken as unlike 6 % too long.

    The shape of breaking within 20 %, its scale within 10 %: about 4 standard errors of 420 breaks.
    """
    data = lives_from_book(
        "mill", log_of(Truth(break_shape=SHAPE, break_scale=SCALE, edges=1500), np.random.default_rng([99, 0]))
    )
    assert data is not None
    alone = fit_lives(data.lives, "lognormal", has_intervals=False)
    assert alone is not None
    assert np.exp(alone.theta[0]) > 40.0 * 1.045
    answer = {each.name: each.interval for each in edge_life(data).coefficients}
    assert answer["mean edge life"].value == pytest.approx(40.0, rel=0.04)
    assert answer["life share of breaking, shape"].value == pytest.approx(SHAPE, rel=0.2)
    assert answer["life share of breaking, scale"].value == pytest.approx(SCALE, rel=0.1)
    assert answer["life share of breaking, scale"].is_bounded
