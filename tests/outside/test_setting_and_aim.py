"""Setting and aim: moments of the wear curve, drift, what a trial cut leaves. Exact arithmetic (second way:
quadrature, and runs of both engines).
"""

from __future__ import annotations

import math
from collections.abc import Callable

import pytest
from scipy.integrate import quad

from linesim.cutting.component import Component
from linesim.cutting.life import wear_growth
from linesim.cutting.setting import in_steps, left_after_trial_um, left_alone_um, mean_growth, mean_growth_met
from linesim.fast.run import run_fast
from linesim.floor.run import run_floor
from linesim.plan.build import make_plan
from linesim.plan.tally import Tally
from tests.floors import a_blade, a_cut, a_shop

CURVE = (0.32, 0.057, 1.4)


@pytest.mark.parametrize(("until", "mean", "sd"), [(1.0, 0.58509, 0.23188), (0.7, 0.46591, 0.16403)])
def test_moments_of_the_wear_curve(until: float, mean: float, sd: float) -> None:
    assert mean_growth(until, *CURVE) == pytest.approx(mean, abs=6e-6)
    by_quadrature = quad(lambda w: wear_growth(w, *CURVE), 0.0, until)[0] / until
    assert mean_growth(until, *CURVE) == pytest.approx(by_quadrature, rel=1e-6)
    square = quad(lambda w: wear_growth(w, *CURVE) ** 2, 0.0, until)[0] / until
    assert math.sqrt(square - mean * mean) == pytest.approx(sd, abs=2e-5)


def test_aim_makes_the_mean_square_seven_times_less() -> None:
    """7.3667: rms squared over variance of the curve over a whole life; the aim itself is 6.1496 µm of 10.51."""
    assert 10.510 * mean_growth_met(1.0, math.inf, *CURVE) == pytest.approx(6.1496, abs=5e-4)
    aim = mean_growth(1.0, *CURVE)
    without = quad(lambda w: wear_growth(w, *CURVE) ** 2, 0.0, 1.0)[0]
    with_aim = quad(lambda w: (wear_growth(w, *CURVE) - aim) ** 2, 0.0, 1.0)[0]
    assert without / with_aim == pytest.approx(7.3667, abs=5e-4)


@pytest.mark.parametrize("parts", [1, 2, 5, 20, 200])
def test_mean_over_the_parts_that_an_edge_meets(parts: int) -> None:
    """Straight: (N - 1) / 2 steps exactly (0.1 µm and 200 parts: 9.95). House curve over 0.7 of life: within 0.006."""
    assert mean_growth_met(0.1 * parts, float(parts), 0.0, 1.0, 1.0) == pytest.approx(0.1 * (parts - 1) / 2.0)
    met = [wear_growth(0.7 * part / parts, *CURVE) for part in range(parts)]
    if parts >= 20:
        assert mean_growth_met(0.7, float(parts), *CURVE) == pytest.approx(sum(met) / parts, abs=0.006)


# --- what a trial cut and a correction leave -------------------------------------------------------------------

CHANGES = 4000


def test_a_trial_cut_leaves_the_error_of_the_gauge_and_a_twelfth_of_the_step_squared() -> None:
    """Gauge 1.5, step 2: sqrt(2.25 + 4 / 12) = 1.6073. Without a step the gauge's error is left, and the other way."""
    assert left_after_trial_um(1.5, 2.0) == pytest.approx(1.6073, abs=5e-5)
    assert (left_alone_um(1.0, 4.0, 1.0), left_alone_um(1.0, 4.0, 0.0)) == (2.0, math.inf)
    assert (left_after_trial_um(1.5, 0.0), left_after_trial_um(0.0, math.sqrt(12.0))) == pytest.approx((1.5, 1.0))


def test_what_whole_steps_leave_is_spread_evenly_over_one() -> None:
    """Second way: rounded at 20 000 amounts spread evenly over ten steps, the mean square is step**2 / 12."""
    amounts = [20.0 * (at + 0.5) / 20_000 - 10.0 for at in range(20_000)]
    left = [in_steps(amount, 2.0) - amount for amount in amounts]
    assert max(map(abs, left)) <= 1.0
    assert sum(each * each for each in left) / len(left) == pytest.approx(4.0 / 12.0, rel=1e-4)


@pytest.mark.parametrize("run", [run_floor, run_fast])
def test_after_a_trial_cut_both_engines_leave_as_much(run: Callable[..., Tally]) -> None:
    """Each edge cuts one part. It is set 50 µm too shallow, give or take 10; what is read of that sets the offset, and
    the metal left on is cut again, so that every part shipped stands as its edge does after the correction.

    The mean square of N(0, 1.5) and an even spread over 2 is 2.58333; its standard deviation over 4000 edges is
    sqrt((2 x 2.58333**2 - 2**4 / 120) / 4000) = 0.0575. Four of these are allowed: a false alarm in 16 000, seed fixed
    beforehand. With the gauge alone (2.25) or the step alone (0.333) it fails.
    """
    operation = {"strokes": {"stroke": {"cuts": {"cut": a_cut()}}}, "first_piece": {"error": 1.5, "tries": 1}}
    features = {"face": {"size": {"limits": [99.999, 100.001]}, "as_cast": {"stock": 2}}}
    blade = a_blade(life=1e9, change=0, sets=3, setting={"error": 10, "bias": -50, "step": 2})
    works = a_shop({"Op 10": operation}, line={"features": features}, cutters={"blade": blade}, rule={"parts": 1},
                   castings=CHANGES, length=3.0 * CHANGES)  # fmt: skip
    tally = run(make_plan(works, "as stated"), 2026, 0)
    assert (tally.shipped[0], tally.recut.sum(), tally.first_corrected[0]) == (CHANGES, CHANGES, CHANGES)
    mean_square = float(tally.square[0, Component.SIZE]) / CHANGES
    assert mean_square == pytest.approx(left_after_trial_um(1.5, 2.0) ** 2, abs=4 * 0.0575)
