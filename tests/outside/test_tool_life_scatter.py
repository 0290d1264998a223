"""Scatter of tool lives: Weibull and lognormal laws of a given coefficient of variation (derived).

Coefficient of variation 0.3 for high-speed steel: Wager and Barash, ASME J. Eng. Ind. 93 (1971), 1044 (read).
"""

from __future__ import annotations

import math

import numpy as np
import pytest

from linesim.chance import Distribution, Purpose, drawn, lognormal_sigma, normal_from_uniform, weibull_cv
from linesim.handbook import grades


@pytest.mark.parametrize(
    ("shape", "cv"),
    [
        (1.0, 1.0000),
        (1.5, 0.6790),
        (2.0, 0.5227),
        (2.5, 0.4279),
        (3.0, 0.3634),
        (3.5, 0.3165),
        (4.0, 0.2805),
        (5.0, 0.2291),
    ],
)
def test_weibull_shape_sets_the_scatter(shape: float, cv: float) -> None:
    """The scale drops out (derived)."""
    assert weibull_cv(shape) == pytest.approx(cv, abs=5e-5)


@pytest.mark.parametrize(("cv", "shape", "sigma"), [(0.3, 3.714, 0.2936), (0.2, 5.797, 0.1980)])
def test_equal_scatter_in_two_laws(cv: float, shape: float, sigma: float) -> None:
    """Weibull shape and lognormal sigma of the same coefficient of variation (derived)."""
    assert weibull_cv(shape) == pytest.approx(cv, abs=5e-5)
    assert lognormal_sigma(cv) == pytest.approx(sigma, abs=5e-5)


def test_share_of_tools_that_fail_before_a_change() -> None:
    """Mean 60 min, coefficient 0.3, changed at 40 min: normal 13.33 %, lognormal 10.87 % (derived)."""
    assert 60.0 + 18.0 * normal_from_uniform(0.1333) == pytest.approx(40.0, abs=0.02)
    sigma = lognormal_sigma(0.3)
    mu = math.log(60.0) - 0.5 * sigma**2
    assert math.exp(mu + sigma * normal_from_uniform(0.1087)) == pytest.approx(40.0, abs=0.02)


def test_drawn_lives_fail_as_often_as_they_should() -> None:
    """20 000 lognormal lives: 10.87 % below 40 min within 4 standard errors; mean 60."""
    n = 20_000
    kind, purpose = int(Distribution.LOGNORMAL), int(Purpose.EDGE)
    lives = np.array([drawn(kind, 60.0, 0.3, 0.0, 4, 0, purpose, 0, k) for k in range(n)])
    assert abs((lives < 40.0).mean() - 0.1087) < 4.0 * math.sqrt(0.1087 * 0.8913 / n)
    assert abs(lives.mean() - 60.0) < 4.0 * 18.0 / math.sqrt(n)


def test_handbook_scatter_of_high_speed_steel_is_wager_and_barashs() -> None:
    """0.3 (read)."""
    assert grades()["high-speed steel", "steel"].life_cv == 0.3
