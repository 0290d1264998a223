"""Capability against the usual tables of parts per million.

Montgomery, *Introduction to Statistical Quality Control*; ISO 22514-2 (both from memory); the tails of the normal
distribution were worked out independently. The usual table's "63 to 64 ppm" belongs to 4/3, not to 1.33.
"""

from __future__ import annotations

import math

import numpy as np
import pytest
from scipy import optimize, stats

from linesim.quality.capability import cp, cpk, cpm, ppm_outside, share_above, share_below, spread_under_drift


@pytest.mark.parametrize(
    ("capability", "ppm", "tolerance"),
    [
        (0.5, 133_614.0, 0.5),
        (2.0 / 3.0, 45_500.0, 0.5),
        (1.0, 2699.8, 0.05),
        (4.0 / 3.0, 63.34, 0.005),
        (1.33, 66.07, 0.005),
        (1.5, 6.795, 0.0005),
        (5.0 / 3.0, 0.5733, 0.00005),
        (2.0, 0.00197, 0.000005),
    ],
)
def test_parts_per_million_of_a_centred_process(capability: float, ppm: float, tolerance: float) -> None:
    limit = 3.0 * capability
    assert cpk(0.0, 1.0, -limit, limit) == pytest.approx(capability)
    assert ppm_outside(0.0, 1.0, -limit, limit) == pytest.approx(ppm, abs=tolerance)


def test_a_process_of_cp_2_that_is_off_by_one_and_a_half_sigma() -> None:
    """Cp 2, Cpk 1.5: 3.398 ppm, the "3.4" of the trade."""
    assert (cp(1.0, -6.0, 6.0), cpk(1.5, 1.0, -6.0, 6.0)) == (2.0, 1.5)
    assert ppm_outside(1.5, 1.0, -6.0, 6.0) == pytest.approx(3.398, abs=5e-4)


def test_cp_four_thirds_with_cpk_one() -> None:
    """1350.2 ppm."""
    assert cpk(1.0, 1.0, -4.0, 4.0) == 1.0
    assert ppm_outside(1.0, 1.0, -4.0, 4.0) == pytest.approx(1350.2, abs=0.05)


def test_cpm_counts_the_distance_from_the_aim() -> None:
    """Cp 1.33, half a sigma off: 1.1896."""
    limit = 3.0 * 1.33
    assert cpm(0.5, 1.0, -limit, limit, 0.0) == pytest.approx(1.1896, abs=5e-5)
    assert cpm(0.0, 1.0, -limit, limit, 0.0) == pytest.approx(1.33)


def test_a_band_of_hardness_read_as_three_standard_deviations_is_cp_1() -> None:
    """Grey iron of 187 to 241 HB (ASTM A159, SAE J431, G3000): a standard deviation of 9.0 HB has Cp 1 and Cpk 1.

    The band was read as the standards have it; that foundries fill it to three standard deviations is an assumption.
    The coefficient of variation is 9 over 214, 0.0421 (derived).
    """
    middle, sd = (187.0 + 241.0) / 2.0, 9.0
    assert cp(sd, 187.0, 241.0) == pytest.approx(1.0, abs=1e-12)
    assert cpk(middle, sd, 187.0, 241.0) == pytest.approx(1.0, abs=1e-12)
    assert sd / middle == pytest.approx(0.0421, abs=5e-5)
    assert ppm_outside(middle, sd, 187.0, 241.0) == pytest.approx(2699.8, abs=0.05)


def test_one_sided_tolerances() -> None:
    assert cpk(1.0, 0.5, -math.inf, 2.5) == 1.0
    assert cpk(1.0, 0.5, 0.25, math.inf) == 0.5
    assert math.isnan(cp(0.5, -math.inf, 2.5))
    assert math.isnan(cpk(1.0, 0.5, -math.inf, math.inf))
    assert share_below(1.0, 0.5, -math.inf) == 0.0
    assert share_above(1.0, 0.5, 2.5) == pytest.approx(0.0013499, abs=5e-8)


def test_a_process_without_spread() -> None:
    assert cpk(1.0, 0.0, 0.0, 2.0) == math.inf
    assert cpk(3.0, 0.0, 0.0, 2.0) == -math.inf
    assert (share_below(1.0, 0.0, 2.0), share_above(1.0, 0.0, 2.0)) == (1.0, 0.0)
    assert math.isnan(cpk(1.0, math.nan, 0.0, 2.0))


def test_spread_under_wear_drift_is_that_of_the_sizes_of_one_edge() -> None:
    """s² + (N² - 1) d² / 12: the population variance of N equal steps added to that of the parts (derived)."""
    steps = 0.4 * np.arange(50)
    assert spread_under_drift(3.0, 0.4, 50.0) == pytest.approx(math.sqrt(9.0 + float(np.var(steps))), rel=1e-12)


def test_moments_are_on_the_safe_side_where_an_edge_drifts_evenly() -> None:
    """Limits ± 20, an even drift over 12, s 2: 3.33333 within, and 1.66667 by moments against 1.99301 by quantiles.

    ISO 22514-2 puts a location that wear moves under C3 (its name from memory); the quantiles are of the even and the
    normal together, whose distribution is integrated here (derived, exact). Out of the limits are 5.9e-8 in a million,
    where the normal of the same spread has 0.5733.
    """
    parts = 100_001.0
    sd = spread_under_drift(2.0, 12.0 / (parts - 1.0), parts)
    assert sd == pytest.approx(4.0, rel=1e-4)
    assert cp(2.0, -20.0, 20.0) == pytest.approx(3.33333, abs=6e-6)
    assert cp(sd, -20.0, 20.0) == pytest.approx(1.66667, abs=2e-4)

    def share_under(x: float) -> float:
        def integral(z: float) -> float:  # of the normal distribution function
            return float(z * stats.norm.cdf(z) + stats.norm.pdf(z))

        return (integral((x + 6.0) / 2.0) - integral((x - 6.0) / 2.0)) * 2.0 / 12.0

    high = optimize.brentq(lambda x: share_under(x) - 0.99865, 0.0, 20.0)
    assert high == pytest.approx(10.0351, abs=6e-5)
    assert 20.0 / high == pytest.approx(1.99301, abs=6e-6)
    assert cp(sd, -20.0, 20.0) < 20.0 / high < cp(2.0, -20.0, 20.0)
    assert ppm_outside(0.0, sd, -20.0, 20.0) == pytest.approx(0.5733, rel=2e-3)
