"""Spread within and from batch to batch against a published example.

O. L. Davies, Statistical Methods in Research and Production (1947): yields of dyestuff, six batches of five. Figures
are those printed for it by D. Bates and others, Journal of Statistical Software 67 (2015) and the lme4 book (from
memory): restricted estimates 42.00 and 49.51; profile intervals of the unrestricted likelihood 12.20 to 84.06 and 38.23
to 67.66. By analysis of variance: mean squares 11271.5 and 2451.25.
"""

from __future__ import annotations

import numpy as np
import pytest

from linesim.records.castings import OneWay

YIELDS = (
    (1545, 1440, 1440, 1520, 1580), (1540, 1555, 1490, 1560, 1495), (1595, 1550, 1605, 1510, 1560),
    (1445, 1440, 1595, 1465, 1545), (1595, 1630, 1515, 1635, 1625), (1520, 1455, 1450, 1480, 1445),
)  # fmt: skip
GROUPS = [np.array(batch, float) for batch in YIELDS]


def test_spreads_of_dyestuff_are_those_printed() -> None:
    within, between, both, share = OneWay.of(GROUPS).spreads(60.0)
    assert within.value == pytest.approx(49.51, abs=0.01)
    assert between.value == pytest.approx(42.00, abs=0.01)
    by_squares = (11271.5 - 2451.25) / 5.0
    assert both.value == pytest.approx((by_squares + 2451.25) ** 0.5, rel=1e-4)
    assert share.value == pytest.approx(by_squares / (by_squares + 2451.25), rel=1e-3)


def test_profile_intervals_of_dyestuff_are_those_printed() -> None:
    within, between, *_ = OneWay.of(GROUPS, is_restricted=False).spreads(60.0)
    assert (between.low, between.high) == (pytest.approx(12.20, abs=0.02), pytest.approx(84.06, abs=0.02))
    assert (within.low, within.high) == (pytest.approx(38.23, abs=0.02), pytest.approx(67.66, abs=0.02))
