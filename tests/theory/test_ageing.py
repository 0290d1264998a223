"""Machines that age: failures as a power-law process, planned overhauls, and repairs that give some of the age back.

Exact values from the closed forms of minimal repair with overhaul at an interval (Barlow and Hunter 1960) and of a
power law's conditional survival; failures with Kijima's second model (1989) were simulated elsewhere, to the error
stated with them. Statistical checks: 4 standard errors, so a false alarm in about one of 16,000; seeds were fixed
beforehand.
"""

from __future__ import annotations

import math
from typing import Any

import numpy as np
import pytest

from linesim.chance.ageing import ageing_failures, best_overhaul_min, to_next_failure_min
from linesim.desk.desk import desk_figures
from linesim.plan.tally import State
from linesim.result import Result
from linesim.study import run
from linesim.works import Works
from tests.floors import Seen, a_shop, run_shop

SHAPE, SCALE_H = 1.8, 400.0
BEST_H = 1800.71
"""Hours between overhauls of the highest availability for repairs of 2 h and overhauls of 24 h."""


def machine(length: float, ages: dict[str, Any], overhaul: dict[str, Any] | None = None, repair: Any = 0) -> Works:
    """One machine that always cuts, an hour for each part."""
    breakdowns: dict[str, Any] = {"ages": ages, "repair": repair}
    if overhaul is not None:
        breakdowns["overhaul"] = overhaul
    return a_shop({"Op 10": {"minutes": 60, "breakdowns": breakdowns}}, length=length)


def failures(works: Works, replications: int, seed: int) -> tuple[float, float]:
    """Mean number of breakdowns over replications, and its standard error."""
    counts = [run(works, seed=seed, replication=number).tally.breakdowns.sum() for number in range(replications)]
    return float(np.mean(counts)), float(np.std(counts, ddof=1) / math.sqrt(replications))


def test_best_interval_by_cost_and_by_availability() -> None:
    best_h = best_overhaul_min(SHAPE, SCALE_H, 300.0, 4000.0)
    assert best_h == pytest.approx(1909.26, abs=0.005)
    assert ageing_failures(best_h, SHAPE, SCALE_H) == pytest.approx(16.6667, abs=5e-5)
    assert (4000.0 + 300.0 * ageing_failures(best_h, SHAPE, SCALE_H)) / best_h == pytest.approx(4.71387, abs=5e-6)
    assert best_overhaul_min(SHAPE, SCALE_H, 2.0, 24.0) == pytest.approx(BEST_H, abs=0.005)
    assert math.isinf(best_overhaul_min(1.0, SCALE_H, 300.0, 4000.0))


@pytest.mark.parametrize(("age_h", "survives"), [(0.0, 0.92084), (600.0, 0.515057)])
def test_chance_to_survive_a_hundred_hours(age_h: float, survives: float) -> None:
    """The machine lives longer than 100 h just where the draw lies below its chance to do so."""
    assert to_next_failure_min(age_h, SHAPE, SCALE_H, survives - 1e-6) > 100.0
    assert to_next_failure_min(age_h, SHAPE, SCALE_H, survives + 1e-6) < 100.0


def test_mean_time_to_the_next_failure_of_an_old_machine() -> None:
    """138.441 h at an age of 600 h: the mean over the draw, by the midpoint rule."""
    draws = (np.arange(20_000) + 0.5) / 20_000
    mean_h = float(np.mean([to_next_failure_min(600.0, SHAPE, SCALE_H, float(draw)) for draw in draws]))
    assert mean_h == pytest.approx(138.441, abs=0.02)


@pytest.mark.parametrize(("back", "expected", "error"), [(0.0, 12.1257, 0.0), (0.5, 6.005, 0.004), (1.0, 4.162, 0.003)])
def test_failures_of_sixteen_hundred_hours(back: float, expected: float, error: float) -> None:
    works = machine(1600.0 * 60.0, {"shape": SHAPE, "scale": SCALE_H * 60.0, "repair_gives_back": back})
    mean, standard_error = failures(works, 600, seed=3101)
    assert abs(mean - expected) < 4.0 * math.hypot(standard_error, error)


@pytest.mark.parametrize(("times", "availability"), [(1.0, 0.970885), (0.5, 0.965042), (2.0, 0.965558)])
def test_availability_with_overhauls(times: float, availability: float) -> None:
    """The overhaul waits for the end of a part, half an hour in the mean: less than a thousandth of an interval."""
    every_min = times * BEST_H * 60.0
    overhaul = {"every": every_min, "minutes": 24 * 60}
    ages = {"shape": SHAPE, "scale": SCALE_H * 60.0}
    results = [run(machine(40 * every_min, ages, overhaul, 120.0), seed=3102, replication=at) for at in range(30)]
    shares = [result.tally.state_min[0, State.CUTTING] / result.tally.counted_min for result in results]
    error = float(np.std(shares, ddof=1) / math.sqrt(len(shares)))
    assert error < 0.0025
    assert abs(float(np.mean(shares)) - availability) < 4.0 * error + 1e-4
    desk = desk_figures(machine(40 * every_min, ages, overhaul, 120.0)).operations.iloc[0]
    assert 60.0 / desk["minutes_per_part"] == pytest.approx(availability, abs=1e-5)


def one(**breakdowns: Any) -> Seen:
    operation = {"minutes": 10, "fitters": "fitter", "breakdowns": {"repair": 2, **breakdowns}}
    return run_shop(a_shop({"Op 10": operation}, people={"fitter": {"count": 1}}, length=100.0))


def test_an_overhaul_falls_due_within_a_part_and_begins_before_the_next() -> None:
    """Due after 25 min of cutting: the part from 20 to 30 is finished, the overhaul takes 30 to 37; then 62 to 67."""
    seen = one(between=1000, overhaul={"every": 25, "minutes": 7})
    assert seen.spans_in("Op 10", State.OVERHAUL)[:2] == [(30.0, 37.0), (67.0, 74.0)]
    assert seen.tally.overhauls.tolist() == [2]
    assert seen.tally.breakdowns.tolist() == [0]


def test_an_overhaul_makes_new_what_breaks_down_at_intervals() -> None:
    """A failure every 28 min of cutting, overhauled after 25: the overhaul comes at 30 min, after the failure at 28."""
    seen = one(between=28, overhaul={"every": 25, "minutes": 7})
    assert seen.spans_in("Op 10", State.UNDER_REPAIR)[:2] == [(28.0, 30.0), (67.0, 69.0)]
    assert seen.spans_in("Op 10", State.OVERHAUL)[:2] == [(32.0, 39.0), (71.0, 78.0)]


def test_an_overhaul_that_comes_first_puts_the_failure_off() -> None:
    """A failure after 35 min of cutting never comes where the machine is overhauled after every 20."""
    seen = one(between=35, overhaul={"every": 20, "minutes": 7})
    assert seen.tally.breakdowns.tolist() == [0]
    assert seen.spans_in("Op 10", State.OVERHAUL)[:2] == [(20.0, 27.0), (47.0, 54.0)]


def ledger_row(result: Result, cause: str) -> tuple[float, int]:
    rows = result.ledger[(result.ledger["item"] == "maintenance") & (result.ledger["cause"] == cause)]
    return float(rows["quantity"].sum()), int(rows["minor_units"].sum())


def test_breakdowns_and_overhauls_cost_money_and_a_policy_says_how_often() -> None:
    breakdowns = {"between": 30, "repair": 2, "cost": 3, "overhaul": {"every": 1000, "minutes": 7, "cost": 400}}
    policies = {
        "today": {"default": "run out"},
        "often": {"default": "run out", "overhauls": {"Op 10": 50}},
        "not at all": {"default": "run out", "overhauls": {"Op 10": "never"}},
    }
    works = a_shop({"Op 10": {"minutes": 10, "breakdowns": breakdowns}}, policies=policies, length=200.0)
    often = run(works, "often", seed=1)
    assert ledger_row(often, "overhauls") == (3.0, 120_000)
    assert ledger_row(often, "breakdowns") == (float(often.tally.breakdowns[0]), 300 * int(often.tally.breakdowns[0]))
    assert often.tally.breakdowns[0] > 0
    assert ledger_row(run(works, "not at all", seed=1), "overhauls") == (0.0, 0)
