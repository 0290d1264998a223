"""Intervals hold the truth, and the best is picked, as often as is promised: the short version.

The long one (``python -m tests.benchmarks.coverage``) repeats each study 1,000 times. Here it is fewer, seeds fixed
beforehand, and a promise counts as broken if what was found would come of a kept one less than once in 10,000 times
(binomial; by SciPy): with eleven promises the chance of a false alarm is about one in a thousand (a promise that is to
be kept just so often has two ends to miss).
"""

from __future__ import annotations

import pytest
from scipy import stats

from tests.benchmarks.coverage import PROMISES

ALARM = 1e-4
STUDIES = {"picked": 60, "picked, shared": 60, "line": 150, "pair": 150}


@pytest.mark.parametrize("name", PROMISES)
def test_a_promise_is_kept_as_often_as_it_says(name: str) -> None:
    promise = PROMISES[name]
    kept, studies = promise.kept(STUDIES.get(name, 300), 20_261_126)
    least, most = stats.binom.ppf([ALARM / 2, 1.0 - ALARM / 2], studies, promise.share)
    assert kept >= least, promise.words
    if promise.is_exact:
        assert kept <= most, promise.words
