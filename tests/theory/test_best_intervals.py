"""Best intervals where the best one is known: age replacement, economic tool life, drift with quality loss, a grid.

Figures: Barlow and Proschan, *Mathematical Theory of Reliability*, Wiley 1965, chapter 4 (case age_3_60 of
tests/data/line_cases.json); Groover, *Fundamentals of Modern Manufacturing*, example of minimum cost turning (inputs
and printed results from memory, as in tests/outside/test_taylor_groover.py); linear drift with Taguchi's loss after
Drezner and Wesolowsky, IIE Transactions 21 (1989), whose figures follow from the formula by hand.

A search is judged by the exact cost at the interval that it names, so that its luck does not enter; the tolerance is
that of its flat ranges, 1 %. Seeds fixed before any run was looked at. The grid's check is a paired interval at 99 %:
it fails by chance in less than one run in a hundred.
"""

from __future__ import annotations

import math
from itertools import product
from typing import Any

import numpy as np
import pytest

from linesim.ask import intervals
from linesim.cutting.replacement import best_age, best_part_count, cost_rate_at_age, cost_rate_at_count
from linesim.plan.build import make_plan
from linesim.study.search import SearchPlan, goal_of
from linesim.study.search.common.set_at import Setting, all_sets_at, policy_of
from linesim.study.search.common.trials import Trial, Trials
from linesim.study.search.intervals.minute import part_worth
from linesim.study.search.intervals.renewal import Renewal, Weights, renewal_of
from linesim.study.statistics.intervals import paired_difference
from linesim.works import Works, load_works, works_from_dict

SEED = 20261125


def one_machine(
    tool: dict[str, Any], minutes: float, worth: float, length: float, rate: float = 0.0, load: float = 0.0
) -> Works:
    """One machine with one set, at work all the time, started with its set run out."""
    return works_from_dict(
        {
            "name": "one machine",
            "run": {"length": length, "warm_up": 0, "replications": 4, "seed": SEED},
            "cutters": {"tool": {"sets": 2, "renewal": {"bought": {}}, "extra_when_broken": 0, **tool}},
            "lines": {
                "line": {
                    "worth": worth,
                    "operations": {"Op 10": {"minutes": minutes, "sets": ["tool"], "rate": rate, "load": load}},
                }
            },
            "policies": {"run out": {"default": "run out"}},
        }
    )


def ageing(shape: float, scale: float, planned: float, failure: float, length: float) -> Works:
    """Changed at a cost, and at a higher one when it breaks: the time lost on half a part makes the difference.

    A minute is worth the part's worth less what edges cost; the part that breaks takes half a minute of it in the mean.
    """
    breaking = {"shape": shape, "scale": 1.0}
    tool = {"life": scale, "life_cv": 0.0, "breaking": breaking, "price": planned}
    age = best_age(shape, scale, planned, failure)
    edges = 0.0 if math.isinf(age) else cost_rate_at_age(age, shape, scale, planned, failure)
    return one_machine(tool, 1.0, 2.0 * (failure - planned) + edges, length)


AGES = [(3.0, 60.0, 20.0, 100.0), (3.7, 60.0, 15.0, 60.0), (3.5, 45.0, 10.0, 60.0)]


def only_set(works: Works) -> Renewal:
    """What is worked out for the only set of a works."""
    return renewal_of(works, make_plan(works, next(iter(works.policies))), all_sets_at(works)[0])


@pytest.mark.parametrize(("shape", "scale", "planned", "failure"), AGES)
def test_a_set_by_itself_is_changed_at_barlow_and_proschans_count(
    shape: float, scale: float, planned: float, failure: float
) -> None:
    renewal = only_set(ageing(shape, scale, planned, failure, 1000.0))
    weights = Weights(0.0, 1.0, 1.0, 0.0, failure - planned)
    assert renewal.best(weights) == best_part_count(shape, scale, planned, failure)
    costs = renewal.costs(weights)
    for count in (1, 10, 30, 100):
        assert costs[count - 1] == pytest.approx(cost_rate_at_count(count, shape, scale, planned, failure), rel=1e-9)


@pytest.mark.parametrize(("shape", "scale", "planned", "failure"), AGES[:2])
def test_the_search_finds_the_age_of_barlow_and_proschan(
    shape: float, scale: float, planned: float, failure: float
) -> None:
    works = ageing(shape, scale, planned, failure, 20_000.0)
    # Edges cost about 0.6 % of what the machine earns: this tolerance is some eight per cent of their cost.
    found = intervals(works, plan=SearchPlan(runs=250, replications=12, fresh=6, tolerance=0.0005, ranges=True))
    best = best_part_count(shape, scale, planned, failure)
    assert best is not None
    least = cost_rate_at_count(best, shape, scale, planned, failure)
    assert cost_rate_at_count(found.setting.parts[0], shape, scale, planned, failure) <= 1.01 * least
    flat = found.flat["Op 10 / tool"]
    for end in (flat.low, flat.high):
        assert cost_rate_at_count(end, shape, scale, planned, failure) <= 1.1 * least


def test_where_breaking_has_no_memory_changing_early_never_pays() -> None:
    """Exponential life: the interval goes to the end of what is looked at."""
    works = ageing(1.0, 60.0, 20.0, 100.0, 1000.0)
    assert only_set(works).best(Weights(0.0, 1.0, 1.0, 0.0, 80.0)) == 240


# Groover: carbide turning, n = 0.125, C = 70 m/min, L = 500 mm, D = 100 mm, f = 0.25 mm, Th = 5, tc = 2 min, Co = 0.50
# a minute, Ct = 3.00 an edge; at the cheapest speed T = 56 min, Tm = 14.846 min, 3 parts to an edge, 11.256 a part.


def turning(speed_m_min: float) -> Works:
    """Groover's lathe at a speed; the edge lasts its life and breaks in the part that it does not finish."""
    life_min = (70.0 / speed_m_min) ** 8
    cut_min = math.pi * 100.0 * 500.0 / (1000.0 * speed_m_min * 0.25)
    breaking = {"shape": 50, "scale": 1.1}
    tool = {"life": life_min, "life_cv": 0.0, "breaking": breaking, "price": 3.0, "change": 2.0}
    return one_machine(tool, cut_min, 0.0, 20_000.0, rate=30.0, load=5.0)


@pytest.fixture(scope="module")
def by_speed() -> dict[float, Any]:
    """The best interval at three speeds about the cheapest one."""
    plan = SearchPlan(runs=200, replications=6, fresh=6, tolerance=0.02)
    return {speed: intervals(turning(speed), plan=plan) for speed in (36.0, 42.32, 50.0)}


def test_the_search_finds_groovers_parts_to_an_edge_and_cost(by_speed: dict[float, Any]) -> None:
    found = by_speed[42.32]
    assert found.setting.parts == (3,)
    assert found.verdict is not None
    assert found.verdict.best["cost_per_good_part"].mean == pytest.approx(11.256, rel=0.003)


def test_the_best_interval_is_cheapest_at_the_economic_tool_life(by_speed: dict[float, Any]) -> None:
    costs = {speed: found.verdict.best["cost_per_good_part"].mean for speed, found in by_speed.items()}
    assert costs[42.32] < min(costs[36.0], costs[50.0])


# Facts: A 50 at 20 µm, so k = 0.125 per µm²; drift 0.1 µm a part from the target on, 20 to change, scatter 2 µm.
# C(N) = 20/N + k (s² + d² (N - 1)(2N - 1) / 6); N* = 29 and 1.02216 above the scatter's 0.5.


def drifting(length: float) -> Works:
    """A cut whose edge draws back evenly and never breaks."""
    tan = 1.0  # 100 µm of wear land in 1000 parts, at 45 degrees: 0.1 µm a part
    edge = {"grade": "carbide", "price": 20, "life": 1000, "life_cv": 0, "breaking": "never", "sets": 2}
    edge |= {"wear_limit": 0.1 * tan, "clearance_angle": math.degrees(math.atan(1.0)) - 1e-9, "renewal": {"bought": {}}}
    cut = {"feature": "face", "cutter": "edge", "process": "milling", "minutes": 1, "depth": 1}
    cut |= {"repeatability": 2.0, "stress_release": 0}
    face = {"kind": "face", "size": {"limits": [-0.02, 0.02], "loss_at_limit": 50}, "as_cast": {"spread": 0}}
    return works_from_dict(
        {
            "name": "drift",
            "run": {"length": length, "warm_up": 0, "seed": SEED},
            "cutters": {"edge": edge},
            "handbook": {"grades": {"carbide": {"wear_b": 0.0, "wear_gamma": 1.0, "force_growth": 0.0}}},
            "lines": {
                "line": {
                    "material": "EN-GJL-250",
                    "features": {"face": face},
                    "operations": {"Op 10": {"stiffness": 1e9, "strokes": {"cut": {"cuts": {"cut": cut}}}}},
                }
            },
            "policies": {"by hand": {"default": {"parts": 100}}},
        }
    )


def drift_cost(parts: int) -> float:
    """The formula."""
    return 20.0 / parts + 0.125 * (4.0 + 0.01 * (parts - 1) * (2 * parts - 1) / 6.0)


def test_drift_with_loss_by_itself() -> None:
    renewal = only_set(drifting(1000.0))
    costs = renewal.costs(Weights(0.0, 1.0, 1.0, 0.0, 0.0))
    assert renewal.best(Weights(0.0, 1.0, 1.0, 0.0, 0.0)) == 29
    assert drift_cost(29) == pytest.approx(1.52216, abs=1e-5)
    for parts in (5, 29, 60):
        assert costs[parts - 1] == pytest.approx(drift_cost(parts), rel=0.005)  # straight lines


def test_the_search_finds_the_cheapest_length_of_a_drifting_run() -> None:
    plan = SearchPlan(runs=300, replications=8, fresh=6, tolerance=0.02, levers=False, ranges=True)
    found = intervals(drifting(5_000.0), goal=None, plan=plan)
    assert found.goal.name == "cost"
    assert drift_cost(found.setting.parts[0]) <= 1.01 * drift_cost(29)
    flat = found.flat["Op 10 / edge"]
    assert flat.low <= 29 <= flat.high
    assert drift_cost(flat.low) <= 1.03 * drift_cost(29)
    assert drift_cost(flat.high) <= 1.03 * drift_cost(29)


def aimed_cost(parts: float, aim_um: float) -> float:
    """The formula with fresh edges set deeper: the mean of the drift less the aim, squared, beside its variance."""
    drift_um = 0.1 * (parts - 1.0) / 2.0 - aim_um
    return 20.0 / parts + 0.125 * (4.0 + 0.01 * (parts**2 - 1.0) / 12.0 + drift_um**2)


def test_the_search_finds_aim_and_interval_together() -> None:
    """Aimed at the middle of its drift the edge stays half as long again: N* = (6 C / (k d²))^(1/3) = 45.8, not 29.

    The least cost is 1.1551 (46 parts, 2.25 µm deeper) against 1.5222 without an aim.
    """
    assert aimed_cost(46, 2.25) == pytest.approx(1.1551, abs=5e-5)
    plan = SearchPlan(runs=400, replications=8, fresh=6, tolerance=0.02, ranges=True)
    found = intervals(drifting(5_000.0), goal=None, plan=plan)
    (parts,), (aim_um,) = found.setting.parts, found.setting.values
    assert aimed_cost(parts, aim_um) <= 1.02 * aimed_cost(46, 2.25)  # as told apart by the tolerance asked for
    flat = found.flat_levers["aim of Op 10 / edge"]
    assert flat.low <= aim_um <= flat.high
    for end in (flat.low, flat.high):
        assert aimed_cost(parts, end) <= 1.03 * aimed_cost(46, 2.25)
    assert found.policy.aims == {"Op 10 / edge": aim_um}


@pytest.mark.late
def test_the_search_is_no_worse_than_an_exhaustive_grid() -> None:
    """Both sets of the smallest line, every pair of eight intervals each."""
    works = load_works("scenarios/smallest.yaml")
    sets_at, trials = all_sets_at(works), Trials(SEED)
    base = works.policies["every 60 parts"]
    grid = [Setting(pair) for pair in product((20, 30, 40, 50, 60, 70, 80, 100), repeat=len(sets_at))]

    def trial(setting: Setting) -> Trial:
        policy = policy_of(setting, sets_at, "parts", base)
        return Trial(setting, works.model_copy(update={"policies": {"tried": policy}}), "tried")

    name = goal_of(works).measure.name
    for _ in trials.run([trial(setting) for setting in grid], range(5)):
        pass
    best = max(grid, key=lambda setting: trials.values(setting, name, range(5)).mean())
    found = intervals(works, policy="full life", plan=SearchPlan(runs=400, replications=8, fresh=8), seed=SEED)
    fresh = range(2_000_000, 2_000_024)
    suggested = Trial(found.setting, works.model_copy(update={"policies": {"tried": found.policy}}), "tried")
    for _ in trials.run([trial(best), suggested], fresh):
        pass
    apart = paired_difference(trials.values(found.setting, name, fresh), trials.values(best, name, fresh), 0.99)
    assert apart.mean >= -apart.half_width


def test_a_lost_part_counts_for_its_worth_only_behind_the_constraint() -> None:
    works = load_works("scenarios/block-line.yaml")  # worth 470, casting 138, scrap metal 11; Op 60 holds it back
    worth = part_worth(works, goal_of(works, "contribution"), 600.0)
    assert worth.scrapped["block", "Op 10"] == worth.broken["block", "Op 10"] == 127.0
    assert worth.scrapped["block", "Op 60"] == worth.scrapped["block", "Op 90"] == 459.0
    assert worth.broken["block", "Op 60"] == 127.0 + 332.0 / 2.0
    assert worth.per_minute["block", "Op 60"] == max(worth.per_minute.values())
    # All minutes of the line together are worth one of all of it, as one operation at a time holds it back.
    machines = {("block", name): of.machines for name, of in works.lines["block"].operations.items()}
    shares = {at: minute / worth.most_per_minute[at] for at, minute in worth.per_minute.items()}
    assert sum(shares.values()) == pytest.approx(1.0)
    assert len({worth.most_per_minute[at] * count for at, count in machines.items()}) == 1


def test_survival_falls_from_one_and_never_rises() -> None:
    survival = only_set(ageing(3.0, 60.0, 20.0, 100.0, 1000.0)).survival
    assert survival[0] == 1.0
    assert bool((np.diff(survival) <= 0.0).all())
