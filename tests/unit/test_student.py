"""Student's t distribution, against SciPy's and against its closed forms."""

from __future__ import annotations

import math

import numpy as np
import pytest
from scipy import special

from linesim.study.statistics.intervals import t_quantile
from linesim.study.statistics.student import t_beyond, t_quantile_of

FREEDOMS = (1, 2, 3, 4, 5, 7, 10, 29, 59, 399, 10_000)
SHARES = (0.6, 0.75, 0.9, 0.95, 0.975, 0.995, 0.9999, 1.0 - 1e-9)
SIZES = (1e-3, 0.1, 0.5, 1.0, 2.0, 3.0, 5.0, 10.0, 40.0, 1e3)


@pytest.mark.parametrize("freedom", FREEDOMS)
def test_quantiles_are_those_of_scipy(freedom: int) -> None:
    """On both sides of 0; SciPy takes another way, the incomplete beta function of the Cephes library."""
    for share in SHARES:
        assert t_quantile_of(share, freedom) == pytest.approx(special.stdtrit(freedom, share), rel=1e-9)
        assert t_quantile_of(1.0 - share, freedom) == pytest.approx(special.stdtrit(freedom, 1.0 - share), rel=1e-6)


@pytest.mark.parametrize("freedom", FREEDOMS)
def test_tails_are_those_of_scipy_far_out_as_well(freedom: int) -> None:
    """To the same share of what is left, however little that is."""
    for size in SIZES:
        expected = 2.0 * float(special.stdtr(freedom, -size))
        assert t_beyond(size, freedom) == pytest.approx(expected, rel=1e-9, abs=1e-290)


def test_one_and_two_degrees_of_freedom_have_closed_forms() -> None:
    """Cauchy's distribution, and t = s / sqrt(2 p (1 - p)) with s = 2 p - 1."""
    for share in SHARES:
        assert t_quantile_of(share, 1) == pytest.approx(math.tan(math.pi * (share - 0.5)), rel=1e-6)
        closed = (2.0 * share - 1.0) / math.sqrt(2.0 * share * (1.0 - share))
        assert t_quantile_of(share, 2) == pytest.approx(closed, rel=1e-6)


def test_the_ends() -> None:
    """The middle, no spread at all, and the whole distribution."""
    assert (t_beyond(0.0, 5), t_beyond(math.inf, 5), t_quantile_of(0.5, 5)) == (1.0, 0.0, 0.0)
    assert (t_quantile_of(1.0, 5), t_quantile_of(0.0, 5)) == (math.inf, -math.inf)


def test_many_degrees_of_freedom_at_once() -> None:
    """In the shape in which they were given."""
    answer = t_quantile(0.975, np.array([[7, 1], [2, 7]]))
    assert answer.shape == (2, 2)
    assert answer[0, 0] == answer[1, 1] == t_quantile_of(0.975, 7)
