"""Hidden faults against closed forms: delayed detection and average run length, on the real path of parts.

Source: the exact renewal formulas for a machine that turns bad with a chance for each part, sampled one in n, with
the answer L parts late: parts per round n / (1 - (1 - p)**n) + L, good ones 1/p - 1; run length 1 / P(signal).
"""

from __future__ import annotations

import math

import pytest

from linesim.fast.run import run_fast
from linesim.plan.build import make_plan
from linesim.plan.tally import Tally
from linesim.works import Works
from tests.floors import a_blade, a_cut, a_shop
from tests.unit.test_floor_trouble import FACE, bad, shop


def long_run(works: Works) -> Tally:
    return run_fast(make_plan(works, "as stated"), 11, 0)


def test_sampling_without_delay_has_the_exact_length_of_a_round() -> None:
    """p 0.002, one in 20 gauged, repair of 40 cycles: per round 509.567 parts, of them 10.5666 bad; good rate 0.907988.

    Exact: parts n / (1 - (1-p)**n), good 1/p - 1. Some 3600 rounds; bounds of four standard errors at least (false
    alarm below 1 in 10 000): bad parts are spread evenly over 1 to 20 (sd 5.8), the length nearly geometric (sd 500).
    """
    tally = long_run(shop(bad(chance=0.002, minutes=40.0), 2_000_000.0, {"every": 20}))
    rounds = int(tally.faults_found[0])
    assert tally.made_bad[0] / rounds == pytest.approx(10.5666, abs=0.4)
    assert tally.worked[0] / rounds == pytest.approx(509.567, abs=36.0)
    good = tally.worked[0] - tally.made_bad[0]
    assert good / tally.counted_min == pytest.approx(0.907988, abs=0.006)


def test_a_delay_of_so_many_parts_makes_as_many_bad_ones_each_time() -> None:
    """Every part gauged, 61 parts late: each round has just 62 bad parts, and 1/p + 61 parts in all."""
    cut = {"strokes": {"stroke": {"cuts": {"cut": a_cut()}}}, "turns_bad": bad(chance=0.01, minutes=100.0)}
    operations = {
        "Op 10": cut,
        "Op 20": {"minutes": 60, "machines": 61, "buffer": "unlimited"},
        "Op 30": {"minutes": 0.5, "buffer": "unlimited", "gauges": {"gauge": {"feature": "face", "tries": 0}}},
    }
    blades = {"blade": a_blade(life=1e9)}
    tally = long_run(a_shop(operations, line={"features": FACE}, cutters=blades, length=60_000.0))
    found, begun = int(tally.faults_found.sum()), int(tally.turned_bad[0])
    assert found > 150
    assert 62 * found <= tally.made_bad[0] <= 62 * begun
    assert begun - found <= 1
    assert tally.worked[0] / found == pytest.approx(100.0 + 61.0, rel=0.25)
    assert tally.unfound_min[0] / found == pytest.approx(61.5)


def test_a_small_shift_is_found_after_its_average_run_length() -> None:
    """Shift 15, scatter 5, limit 20: found where 5 < 5 z <= 15, as the fault must be the largest term: 1 / 0.157305."""
    works = shop(bad(chance=0.02, shift=15.0, minutes=0.0), 300_000.0, {}, cut={"repeatability": 5.0})
    tally = long_run(works)
    chance = 0.5 * (math.erfc(1.0 / math.sqrt(2.0)) - math.erfc(3.0 / math.sqrt(2.0)))
    assert chance == pytest.approx(0.157305, abs=1e-6)
    assert tally.made_bad[0] / tally.faults_found[0] == pytest.approx(1.0 / chance, abs=0.35)
