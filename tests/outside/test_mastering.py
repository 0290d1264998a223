"""A gauge between two masterings: mean squares of a drift and of a walk at random.

Source: exact arithmetic (strength: derived). Bias b an hour, mastered every H: b**2 H**2 / 3 from true; a walk whose
variance grows by v an hour: v H / 2. Second way: both engines, on a line that shows what its gauge is off by.
"""

from __future__ import annotations

import math
from collections.abc import Callable

import pytest

from linesim.cutting.component import Component
from linesim.fast.run import run_fast
from linesim.floor.run import run_floor
from linesim.plan.build import make_plan
from linesim.plan.tally import Tally
from linesim.quality.mastering import drift_square_um2, walk_square_um2, walked_um
from tests.floors import a_blade, a_cut, a_shop

ENGINES = [run_floor, run_fast]
READINGS = 40
"""From mastering to mastering: one each six minutes, four hours."""


def mean_square(run: Callable[..., Tally], drift: dict[str, float], masterings: int) -> float:
    """Mean square by which the gauge is off at its readings, µm², with the first of each four hours just mastered.

    All that it reads is put on the offset, and nothing else is ever off: each part is off by what the gauge was off at
    the reading before, with the sign turned round.
    """
    gauge = {"feature": "face", "corrects": {"cut": "cut"}, "drift": {**drift, "mastered": {"every": READINGS}}}
    operation = {"strokes": {"stroke": {"cuts": {"cut": a_cut(minutes=6.0)}}}, "gauges": {"gauge": gauge}}
    face = {"size": {"limits": [99.0, 101.0]}}
    parts = masterings * READINGS
    works = a_shop({"Op 10": operation}, line={"features": {"face": face}}, cutters={"blade": a_blade(life=1e9)},
                   castings=parts + 1, length=6.0 * (parts + 2))  # fmt: skip
    tally = run(make_plan(works, "as stated"), 2026, 0)
    assert (tally.shipped[0], tally.masterings[0]) == (parts + 1, masterings)
    return float(tally.square[0, Component.SIZE]) / parts


def test_mean_squares_between_masterings() -> None:
    """b 0.5 and H 4: 1.33333; v 1: 2. Second way: the integral of (b t)**2, and of v t, over H by 10 000 strips."""
    assert drift_square_um2(0.5, 4.0) == pytest.approx(1.33333, abs=5e-6)
    assert walk_square_um2(1.0, 4.0) == 2.0
    moments = [4.0 * (at + 0.5) / 10_000 for at in range(10_000)]
    assert drift_square_um2(-0.5, 4.0) == pytest.approx(sum((0.5 * t) ** 2 for t in moments) / 10_000, rel=1e-6)
    assert walk_square_um2(3.0, 4.0) == pytest.approx(sum(9.0 * t for t in moments) / 10_000, rel=1e-6)


def test_steps_of_a_walk_add_up_in_squares_however_time_is_cut() -> None:
    """Variance 4 an hour over 2.25 h is 9, in one step or in three of 0.25, 1 and 1 h, one at a time: 1, 4 and 4."""
    assert walked_um(0.0, 2.0, 2.25, 1.0) == pytest.approx(3.0)
    one_by_one = [walked_um(0.0, 2.0, hours, 1.0) for hours in (0.25, 1.0, 1.0)]
    assert sum(each**2 for each in one_by_one) == pytest.approx(9.0)
    assert walked_um(5.0, 2.0, 1.0, -0.5) == pytest.approx(4.0)


@pytest.mark.parametrize("run", ENGINES)
def test_both_engines_drift_as_much(run: Callable[..., Tally]) -> None:
    """Readings at 0, 0.1, ... 3.9 h: b**2 h**2 (N - 1)(2 N - 1) / 6 is 1.28375, to 1.33333 as they come closer.

    The first of twenty times begins at 0.1 h, as the first part has to be cut: (N + 1)(2 N + 1) there, 1.38375.
    """
    square = mean_square(run, {"per_hour": 0.5}, 20)
    assert square == pytest.approx(0.25 * 0.01 * (19 * 39 * 79 + 41 * 81) / 6.0 / 20)
    assert square == pytest.approx(drift_square_um2(0.5, 4.0), rel=2.0 / READINGS)


@pytest.mark.parametrize("run", ENGINES)
def test_both_engines_walk_as_much(run: Callable[..., Tally]) -> None:
    """At these readings v h (N - 1) / 2 is 1.95, to 2 as they come closer.

    Over four hours the mean square of a walk scatters by v H / sqrt(3) = 2.309 (exact, Cameron and Martin 1944); its
    mean over 600 masterings by 0.0943. Four of these are allowed: a false alarm in 16 000, seed fixed beforehand.
    A walk that went by hours in place of their root would have 0.195, one that is never mastered some hundred.
    """
    expected = 0.1 * 39 / 2.0
    assert expected == pytest.approx(walk_square_um2(1.0, 4.0), rel=1.1 / READINGS)
    assert abs(mean_square(run, {"wanders": 1.0}, 600) - expected) < 4.0 * 4.0 / math.sqrt(3.0 * 600)
