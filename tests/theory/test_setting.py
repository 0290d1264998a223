"""Aim, error of setting and share of correction against closed forms, on the real path of both engines.

Sources: exact arithmetic, derived; the mean square under correction by shares as in A. Ingolfsson and E. Sachs,
Journal of Quality Technology 25(4), 1993 (abstract read; the formula derived). Seeds were fixed beforehand: 20261126.
Statistical checks allow four standard errors: a false alarm in 16 000, for each figure.

The best share against a process that wanders at random, 2 / (1 + sqrt(1 + 4 / q)) with q the variance of a step over
that of a reading, has nothing here to be held to: in the model edges, gauges and spindles drift by a law, settings and
parts scatter without memory, and nothing takes random steps that add up.
"""

from __future__ import annotations

import math
from typing import Any

import pytest

from linesim.fast.choice import ENGINES, Engine
from linesim.plan.build import make_plan
from linesim.study.one.runs import run_plan
from linesim.works import Works
from tests.floors import Seen, a_blade, a_cut, a_shop, run_shop

SEED = 20261126
_MANY = 2_000_000
"""Parts of which the share out of limits is known to a thirtieth."""


def a_machine(rule: Any, parts: int, drift_um: float, levers: dict[str, Any] | None = None, **entries: Any) -> Works:
    """One machine, a minute for each part, whose blade draws back by so much with each part."""
    blade = a_blade(
        wear_limit=drift_um / 100.0 if drift_um else 0.3, clearance_angle=45.0 - 1e-12, **entries.pop("blade", {})
    )
    blade["life"] = 10.0 if drift_um else 1e9
    operation = {"strokes": {"stroke": {"cuts": {"cut": a_cut(**entries.pop("cut", {}))}}}, **entries}
    features = {"face": {"size": {"limits": [99.992, 100.008]}}}
    policies = {"as stated": {"default": rule, **(levers or {})}}
    return a_shop({"Op 10": operation}, line={"features": features}, cutters={"blade": blade}, length=parts,
                  policies=policies)  # fmt: skip


def mean_square_um2(works: Works, engine: Engine) -> float:
    """Mean square of the error of the parts shipped."""
    tally = run_plan(make_plan(works, "as stated"), SEED, 0, engine=engine)
    return float(tally.square[0, 0] / tally.places[0])


@pytest.mark.parametrize("engine", ENGINES)
def test_the_best_aim_for_a_straight_drift_takes_the_mean_square_to_a_quarter(engine: Engine) -> None:
    """Drift d 0.1 µm a part, N 200: aimed off by 9.95, (N² - 1) d²/12 = 33.33; else (N - 1)(2N - 1) d²/6 = 132.3."""
    plain = a_machine({"parts": 200}, 4001, 0.1)
    assert mean_square_um2(plain, engine) == pytest.approx(132.335, rel=1e-6)
    best = a_machine({"parts": 200}, 4001, 0.1, {"aims": {"blade": "centred"}})
    assert make_plan(best, "as stated").cuts.aim_um[0] == pytest.approx(9.95)
    assert mean_square_um2(best, engine) == pytest.approx(33.3325, rel=1e-6)
    for aim in (9.45, 10.45):
        other = a_machine({"parts": 200}, 4001, 0.1, {"aims": {"blade": aim}})
        assert mean_square_um2(other, engine) == pytest.approx(33.3325 + 0.25, rel=1e-6)


@pytest.mark.parametrize("engine", ENGINES)
@pytest.mark.parametrize(("share", "expected"), [(1.0, 9.09), (0.2, 6.80556), (0.363887, 5.79174)])
def test_the_share_of_a_reading_that_is_corrected(share: float, expected: float, engine: Engine) -> None:
    """Scatter 2, gauge 1, drift 0.3 µm a part: 2s²/(2-L) + g²L/(2-L) + (d/L)², least at 0.363887."""
    parts = 60_000 if engine == "fast" else 6_000
    gauge = {"feature": "face", "error": 1.0, "limits": [99.0, 101.0], "corrects": {"cut": "cut"}}
    works = a_machine("run out", parts, 0.3, {"corrections": {"gauge": {"share": share}}},
                      cut={"repeatability": 2.0}, gauges={"gauge": gauge})  # fmt: skip
    # The square of a normal value has a coefficient of variation of sqrt(2); neighbours share what is corrected.
    reach = 4.0 * math.sqrt(2.0 * 2.0 / share / parts)
    assert mean_square_um2(works, engine) == pytest.approx(expected, rel=reach)


def changes_of(seen: Seen, parts: int) -> list[list[float]]:
    errors = seen.errors("Op 10")
    return [errors[at : at + parts] for at in range(0, len(errors) - parts + 1, parts)]


def test_an_error_of_setting_puts_rejects_into_clusters() -> None:
    """Limits 8, scatter 1.5, setting 2: 0.1374 % out; any of 50 parts out in 3.00 % of changes, not in 6.65 %."""
    blade = {"setting": {"error": 2.0}}
    works = a_machine({"parts": 50}, 600 * 50, 0.0, blade=blade, cut={"repeatability": 1.5})
    changes = changes_of(run_shop(works, SEED), 50)
    assert len(changes) > 590
    any_out = sum(any(abs(error) > 8.0 for error in parts) for parts in changes) / len(changes)
    assert abs(any_out - 0.0299783) < 4.0 * math.sqrt(0.03 * 0.97 / len(changes))
    assert abs(any_out - 0.0664503) > 4.0 * math.sqrt(0.03 * 0.97 / len(changes))
    many = a_machine({"parts": 50}, _MANY, 0.0, blade=blade, cut={"repeatability": 1.5})
    tally = run_plan(make_plan(many, "as stated"), SEED, 0, engine="fast")
    out = float(tally.below[0, 0] + tally.above[0, 0]) / float(tally.places[0])
    # Parts of a change are alike: the variance of their count out is 6.14123 times that of independent ones.
    assert abs(out - 0.00137428) < 4.0 * math.sqrt(6.14123 * 0.00137428 / _MANY)


@pytest.mark.parametrize("engine", ENGINES)
def test_an_offset_after_every_nineteenth_part_costs_least_for_a_straight_drift(engine: Engine) -> None:
    """Drift d 0.1 µm a part, an offset of 1.50 every m parts, loss k 0.125 for each µm²: k d² (m² - 1)/12 + 1.50/m.

    Derived: m* = (6 x 1.50 / (k d²))^(1/3) = 19.310, at 19 parts 0.116447 a part. A gauge sets the part that it read to
    the middle and not half a drift ahead of it, so that the mean over the parts is taken out here: (m + 1) d / 2.
    """
    costs, rounds = {}, 200  # the first of them begins a step of the drift lower
    for every in (18, 19, 20):
        gauge = {"feature": "face", "error": 0.0, "limits": [99.0, 101.0], "every": every, "corrects": {"cut": "cut"}}
        works = a_machine("run out", rounds * every + 1, 0.1, gauges={"gauge": gauge})
        tally = run_plan(make_plan(works, "as stated"), SEED, 0, engine=engine)
        mean = float(tally.total[0, 0] / tally.places[0])
        assert mean == pytest.approx(0.1 * (every + 1) / 2.0, rel=1e-3)
        costs[every] = 0.125 * (float(tally.square[0, 0] / tally.places[0]) - mean * mean) + 1.5 / every
    assert costs[19] == pytest.approx(0.116447, rel=1e-4)
    assert costs[19] == min(costs.values())
