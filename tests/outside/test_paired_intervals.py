"""Intervals and paired tests against the figures of SciPy for the same data, worked out beside this project.

Methods: Student, "The probable error of a mean", Biometrika 6 (1908). The twelve pairs and the thirty values
were drawn for the purpose; expected figures are those of ``scipy.stats.ttest_1samp`` and ``ttest_rel``.
Quantiles of t that are entered by hand are those of the printed tables (Fisher and Yates, Statistical Tables;
from memory).
"""

from __future__ import annotations

import math
from statistics import fmean, stdev

import numpy as np
import pytest
from statsmodels.stats.multitest import multipletests

from linesim.study.statistics.intervals import each_of, holm, mean_interval, paired_difference

THIRTY = [
    4.561, 5.535, 4.898, 4.935, 5.317, 4.327, 5.206, 5.029, 5.52, 4.799, 5.974, 6.197, 5.547, 5.966, 6.845,
    7.904, 5.174, 5.992, 6.064, 5.549, 4.326, 5.856, 4.255, 5.123, 6.378, 4.229, 4.237, 3.235, 4.187, 6.028,
]  # fmt: skip
CONTROL = [45.834, 46.303, 49.209, 49.95, 54.46, 49.276, 47.16, 46.373, 52.282, 57.093, 51.028, 44.477]
OTHER = [48.202, 46.532, 48.364, 52.425, 54.563, 51.266, 47.5, 47.882, 53.957, 57.235, 51.043, 45.67]


def test_the_t_interval_of_thirty_values() -> None:
    found = mean_interval(THIRTY, 0.95)
    assert found.mean == pytest.approx(5.306433333, rel=1e-6)
    assert found.low == pytest.approx(4.951859539, rel=1e-6)
    assert found.high == pytest.approx(5.661007127, rel=1e-6)
    assert found.n == 30


def test_the_paired_difference_of_twelve_pairs() -> None:
    found = paired_difference(CONTROL, OTHER, 0.95)
    assert found.p_value == pytest.approx(0.01184594155, rel=1e-6)
    assert found.mean - found.half_width == pytest.approx(-1.614730677, rel=1e-6)
    assert found.mean + found.half_width == pytest.approx(-0.2509359892, rel=1e-6)
    assert found.is_apart


def test_pairing_is_what_tells_the_twelve_apart() -> None:
    # Unpaired, the same figures give t = -0.619 and p = 0.542 (Welch): only the pairs carry the difference.
    in_another_order = OTHER[6:] + OTHER[:6]
    assert not paired_difference(CONTROL, in_another_order, 0.95).is_apart


@pytest.mark.parametrize(("n", "confidence", "quantile"), [(10, 0.95, 2.262), (5, 0.99, 4.604), (21, 0.90, 1.725)])
def test_half_widths_are_those_of_the_printed_table(n: int, confidence: float, quantile: float) -> None:
    values = [float(at * at % 7) for at in range(n)]
    by_hand = quantile * stdev(values) / math.sqrt(n)
    found = mean_interval(values, confidence)
    assert found.mean == pytest.approx(fmean(values))
    assert found.half_width == pytest.approx(by_hand, rel=5e-4)


def test_two_intervals_at_once_use_the_quantile_of_half_the_risk() -> None:
    # Bonferroni: 5 % over two intervals is 2.5 % each; t, 9 degrees of freedom, 1.25 % in a tail: 2.685.
    values = [float(at * at % 7) for at in range(10)]
    found = paired_difference(values, [0.0] * 10, each_of(0.95, 2))
    assert found.half_width == pytest.approx(2.685 * stdev(values) / math.sqrt(10), rel=5e-4)


def test_holms_p_values_are_those_of_his_rule_by_hand() -> None:
    # Ordered 0.005 0.01 0.03 0.04, times 4 3 2 1: 0.02 0.03 0.06 0.04, never falling: 0.02 0.03 0.06 0.06.
    assert holm([0.01, 0.04, 0.03, 0.005]) == pytest.approx([0.03, 0.06, 0.06, 0.02])


@pytest.mark.parametrize("count", [1, 2, 7, 40])
def test_holms_p_values_are_those_of_statsmodels(count: int) -> None:
    given = np.random.default_rng(count).random(count) ** 3
    given[::5] = given[0]
    assert holm(given.tolist()) == pytest.approx(multipletests(given, method="holm")[1], rel=1e-12)
    with_gap = [*given.tolist(), float("nan")]
    assert holm(with_gap)[:-1] == pytest.approx(holm(given.tolist()))
    assert np.isnan(holm(with_gap)[-1])
