"""Warm-up, paired and unpaired tests, and the constants of selection, against figures worked out elsewhere.

Strength: MSER-5 by brute force over all cuts, for a series drawn for the purpose (the rule of K. P. White, M. J. Cobb
and S. C. Spratt, 2000, from memory); paired, Welch's and Dunnett's tests by SciPy for the same twelve triples; Kim and
Nelson's η (2001, from memory) by the equation that defines it, solved by SciPy; the moving average by hand.
"""

from __future__ import annotations

import numpy as np
import pytest
from scipy import optimize, stats

from linesim.errors import StudyError
from linesim.study.comparing.pilot import Pilot
from linesim.study.statistics.intervals import paired_difference
from linesim.study.statistics.selection import eta_of
from linesim.study.statistics.truncation import mser

SERIES = [
    17.234, 16.261, 15.337, 12.859, 11.411, 10.154, 10.35, 9.707, 10.0, 7.467, 9.256, 8.57, 8.846, 8.113, 7.355,
    7.674, 8.162, 7.37, 6.89, 7.391, 6.09, 4.623, 5.614, 5.107, 3.521, 3.645, 4.038, 3.523, 2.891, 4.02, 5.537,
    5.3, 4.629, 5.341, 6.085, 5.502, 5.984, 6.761, 5.967, 4.875, 5.372, 5.562, 6.52, 4.705, 4.232, 3.767, 2.586,
    3.734, 4.819, 4.199, 5.948, 6.431, 6.522, 6.349, 6.796, 4.774, 5.504, 5.93, 3.812, 4.655, 4.561, 5.535,
    4.898, 4.935, 5.317, 4.327, 5.206, 5.029, 5.52, 4.799, 5.974, 6.197, 5.547, 5.966, 6.845, 7.904, 5.174,
    5.992, 6.064, 5.549, 4.326, 5.856, 4.255, 5.123, 6.378, 4.229, 4.237, 3.235, 4.187, 6.028, 7.642, 4.809,
    4.311, 5.292, 6.755, 6.475, 5.14, 5.382, 5.213, 4.925, 4.221, 4.921, 5.261, 5.064, 4.817, 3.606, 3.678,
    5.413, 5.058, 3.595, 5.492, 5.826, 7.604, 6.625, 5.514, 3.861, 5.641, 7.954, 5.952, 4.924, 5.551, 4.5, 4.43,
    4.308, 4.777, 5.961, 5.599, 6.278, 5.347, 5.536, 3.184, 2.46, 4.272, 3.973, 4.964, 5.521, 6.635, 6.793,
    7.093, 6.144, 4.988, 4.261, 4.069, 3.311, 3.439, 3.971, 4.634, 4.442, 2.741, 3.573,
]  # fmt: skip
CONTROL = [45.834, 46.303, 49.209, 49.95, 54.46, 49.276, 47.16, 46.373, 52.282, 57.093, 51.028, 44.477]
A = [48.202, 46.532, 48.364, 52.425, 54.563, 51.266, 47.5, 47.882, 53.957, 57.235, 51.043, 45.67]
B = [48.201, 45.847, 51.731, 53.072, 58.214, 53.655, 48.292, 49.633, 54.393, 59.072, 53.635, 45.578]


def test_mser_5_cuts_a_falling_start_off_where_brute_force_does() -> None:
    found = mser(SERIES)
    assert (found.n_batches, found.d_batches, found.d_observations) == (30, 4, 20)
    assert found.statistic == pytest.approx(0.02733092504, rel=1e-6)
    assert found.mean == pytest.approx(5.109146154, rel=1e-6)
    assert found.is_settled


def test_mser_5_uses_complete_batches_only() -> None:
    assert mser([*SERIES, 99.0, 99.0, 99.0, 99.0]) == mser(SERIES)


def test_a_series_that_never_settles_says_so() -> None:
    assert not mser(np.linspace(100.0, 0.0, 200)).is_settled


@pytest.mark.parametrize("values", [[1.0] * 19, [float("nan")] * 40])
def test_a_series_that_cannot_be_judged_is_refused(values: list[float]) -> None:
    with pytest.raises(StudyError, match=r"too few|not numbers"):
        mser(values)


def test_welchs_moving_average_is_narrow_at_the_ends() -> None:
    pilot = Pilot("p", 50.0, 1, {"parts shipped": np.array([1.0, 5.0, 3.0, 7.0, 4.0])}, np.zeros(1))
    assert pilot.table(window=2)["smoothed"].to_list() == pytest.approx([1.0, 3.0, 4.0, 14 / 3, 4.0])
    assert pilot.table()["minute"].to_list() == [10.0, 20.0, 30.0, 40.0, 50.0]


def test_pairs_tell_apart_what_tests_for_independent_figures_do_not() -> None:
    # On shared chance Dunnett's and Welch's tests answer a question that was not asked: their p of 0.79 and 0.54
    # against the pairs' 0.012 is why they are not used.
    assert paired_difference(CONTROL, A, 0.95).p_value == pytest.approx(0.01184594155, rel=1e-6)
    welch = stats.ttest_ind(CONTROL, A, equal_var=False)
    assert welch.pvalue == pytest.approx(0.5423071327, rel=1e-6)
    dunnett = stats.dunnett(np.array(A), np.array(B), control=np.array(CONTROL), rng=1)
    assert dunnett.statistic == pytest.approx([0.5794848344, 1.443172969], rel=1e-6)
    assert dunnett.pvalue == pytest.approx([0.7874756914, 0.2677317976], abs=1e-3)
    assert paired_difference(CONTROL, B, 0.95).is_apart


@pytest.mark.parametrize(("count", "confidence", "first"), [(2, 0.95, 10), (5, 0.95, 10), (10, 0.9, 20), (40, 0.99, 8)])
def test_kim_and_nelsons_eta_is_the_root_of_its_equation(count: int, confidence: float, first: int) -> None:
    def beyond(eta: float) -> float:
        return float((1.0 + 2.0 * eta) ** (-(first - 1) / 2.0) / 2.0 - (1.0 - confidence) / (count - 1))

    assert eta_of(count, confidence, first) == pytest.approx(optimize.brentq(beyond, 0.0, 1e3, xtol=1e-12), rel=1e-9)
