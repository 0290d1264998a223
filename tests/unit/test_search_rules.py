"""Rules other than a count in the search: which are tried, how they scale, how they are found, told and saved."""

from __future__ import annotations

from dataclasses import replace
from itertools import product
from typing import Any

import numpy as np
import pytest
import yaml

from linesim.ask import intervals
from linesim.report.page.search_pages import intervals_page
from linesim.report.terminal.search import intervals_text
from linesim.report.views.intervals import best_picture
from linesim.study.search import SearchPlan
from linesim.study.search.common.goal import Goal
from linesim.study.search.common.set_at import SetAt, Setting, all_sets_at, policy_of
from linesim.study.search.common.trials import TrialOutcome, Trials
from linesim.study.search.common.way import Way
from linesim.study.search.common.ways import way_under, with_ways
from linesim.study.search.intervals.best import BEST
from linesim.study.search.intervals.ranges import RangeStudy
from linesim.study.search.intervals.surrogate import Surrogate
from linesim.study.search.intervals.switches import Switch, flips, is_on, promised_by, switched, worth_trying
from linesim.works import Works, changed
from linesim.works.policies import Check, OnGauge, OnLoad, Rule
from tests.floors import a_shop, a_tool
from tests.printed import terminal_tables

LOOK = {"check": {"every": 10, "past_share": 0.9, "minutes": 0.05}}
QUICK = SearchPlan(runs=160, replications=8, fresh=8)


def shop(cv: float = 0.0, **policies: Any) -> Works:
    """One machine, one set of 100 parts' life with some scatter; a set costs 60, a broken one 200 and 40 minutes."""
    cutter = a_tool() | {"life": 100, "life_cv": cv, "change": 6, "price": 60, "sets": 40}
    cutter |= {"breaking": {"shape": 8, "scale": 1.25}, "extra_when_broken": 40}
    line = {"worth": 20, "operations": {"Op 10": {"minutes": 1, "sets": ["tool"]}}}
    return a_shop(
        lines={"line": line}, cutters={"tool": cutter},
        policies={"count": {"default": {"parts": 60}}, **policies}, run={"length": "4 weeks"},
    )  # fmt: skip


@pytest.fixture(scope="module")
def looked_at() -> Works:
    return shop(0.6, look={"default": LOOK})


# --- which rules are tried ---


def test_what_some_policy_knows_of_a_set_is_tried_and_what_keeps_no_wear_limit_only_past_it() -> None:
    works = shop(look={"default": LOOK}, out={"default": "run out"}, gone={"default": {"shift": 99}})
    within = with_ways(works, all_sets_at(works, 1.0))[0].ways
    past = with_ways(works, all_sets_at(works, 4.0))[0].ways
    assert [way.kind for way in within] == ["check"]  # 99 shifts and one are both past a life of 100 minutes
    assert [way.kind for way in past] == ["check", "run_out"]
    assert within[0].look_min_per_part == pytest.approx(0.005, rel=0.2)
    assert (way_under(works.policies["look"], with_ways(works, all_sets_at(works, 1.0))[0])) == 1
    assert (way_under(works.policies["out"], with_ways(works, all_sets_at(works, 1.0))[0])) == 0


def test_a_set_that_outlasts_a_shift_may_be_changed_at_its_start() -> None:
    works = changed(shop(), {"cutters": {"tool": {"life": 3000}}})
    (way,) = with_ways(works, all_sets_at(works, 1.0))[0].ways
    assert (way.kind, way.usual) == ("shift", 500)  # 480 minutes, as a shop writes it
    assert [way.at(parts).shift for parts in (200, 500, 950, 1400)] == [1, 1, 2, 3]


@pytest.mark.parametrize(
    ("rule", "at_half"),
    [
        (Rule(check=Check(every=10, first=40, past_share=0.9)), Rule(check=Check(every=5, first=20, past_share=0.9))),
        (Rule(shift=2), Rule(shift=1)),
        (Rule(gauge=OnGauge(size=6.0, roughness=1.6)), Rule(gauge=OnGauge(size=3.0, roughness=0.8))),
        (Rule(load=OnLoad(past=1.3)), Rule(load=OnLoad(past=1.15))),
        (Rule(run_out=True), Rule(run_out=True)),
    ],
)
def test_a_rules_figure_moves_with_the_interval(rule: Rule, at_half: Rule) -> None:
    way = Way("any", rule, 80)
    assert way.at(80) == rule
    assert way.at(40) == at_half


# --- switches ---

SETS = tuple(
    SetAt(f"Op {name} / {name}", "line", f"Op {name}", name, 0, 1.0, 100.0, 1.0, (Way("check", Rule(**LOOK), 90, 0.1),))
    for name in "abc"
)
SWITCHES = tuple(Switch(at, 1) for at in range(3))


def test_what_a_switch_can_never_gain_is_not_tried() -> None:
    cheap, dear = np.full(100, 0.1), np.full(100, 5.0)
    costs = [cheap, dear, dear]
    assert worth_trying(SETS, costs, [1.0, 1.0, 60.0], 0.5) == (Switch(1, 1),)  # a look of 0.1 min at 60 costs 6


def test_switches_move_to_and_fro_and_half_a_move_leaves_rules_alone() -> None:
    best = Setting((50, 50, 50), ways=(0, 1, 0))
    over = switched(best, SWITCHES, np.array([1.0, -1.0, 0.0]))
    assert over.ways == (1, 0, 0)
    assert switched(best, SWITCHES, np.array([0.5, -0.5, 0.0])) == best
    assert best.but_way(1, 0) == Setting((50, 50, 50))
    design = flips(best, SWITCHES, SWITCHES[:2], 40, 7)
    assert (design[:, 0].sum(), design[:, 1].sum(), np.abs(design[:, 2]).sum()) == (10.0, -10.0, 0.0)


def test_what_a_rule_is_worth_is_found_by_the_fit() -> None:
    """Set a gains 4 by its rule, set b loses 9, set c nothing; every combination in eight replications."""
    chance, trials, best = np.random.default_rng(20411), Trials(1), Setting((50, 50, 50))
    for row in np.array(list(product((0.0, 1.0), repeat=3))):
        setting = switched(best, SWITCHES, row)
        for number in range(8):
            value = 200.0 + 30.0 * number + row @ [4.0, -9.0, 0.0] + 0.5 * chance.standard_normal()
            trials._asked[setting, number] = None
            trials._outcomes[setting, number] = TrialOutcome({"contribution_per_hour": value}, {}, {})
    curve = np.array([600.0 / parts for parts in range(1, 101)])
    surrogate = Surrogate(shop(), Goal("contribution"), trials, SETS, (), [curve] * 3, 200.0, SWITCHES)
    near = surrogate.around(best)
    fit = surrogate.goal_around(near)
    gains = [float(fit.at(3 + at, np.ones(1))[0]) for at in range(3)]
    assert gains == pytest.approx([-4.0, 9.0, 0.0], abs=0.5)
    assert promised_by(fit, SWITCHES, best)[0] == Switch(0, 1)
    assert Switch(1, 1) not in promised_by(fit, SWITCHES, best)


def test_an_interval_under_another_rule_counts_as_not_moved() -> None:
    surrogate = Surrogate(shop(), Goal("contribution"), Trials(1), SETS, (), [np.ones(100)] * 3, 1.0, SWITCHES)
    moved = surrogate.apart(Setting((25, 100, 50), ways=(1, 0, 0)), Setting((50, 50, 50)))
    assert moved == pytest.approx([0.0, np.log(2.0), 0.0, 1.0, 0.0, 0.0])


# --- the whole search ---


def test_looking_is_found_where_lives_scatter_and_a_look_costs_nothing(looked_at: Works) -> None:
    """With lives that scatter by six tenths no count is right for many edges, and a look tells which are worn."""
    found = intervals(looked_at, plan=QUICK, policy="count")
    assert found.verdict is not None
    assert found.setting.ways == (1,)
    apart = found.verdict.differences["contribution_per_hour"]
    assert apart.mean > apart.half_width
    rule = found.policy.rule_for("Op 10", "tool")
    assert rule.check is not None
    assert rule.check.past_share == 0.9
    assert changed(looked_at, {"policies": yaml.safe_load(found.policy_yaml)}).policies[BEST] == found.policy
    told = [sentence for sentence in found.sentences if sentence.startswith("Best not after a count of parts but when")]
    assert told == [
        f"Best not after a count of parts but when {found.rule_words(0).removeprefix('when ')}: Op 10 / tool."
    ]
    assert found.intervals["parts"].tolist() == [None]
    assert found.intervals["rule"].tolist() == [found.rule_words(0)]
    assert "–" in terminal_tables(intervals_text(found))[0].rows[0]
    assert best_picture(found).sheet.rows[0][2] == ("–", "n")
    by_rule = f"tool: {found.rule_words(0)}"
    assert by_rule.startswith("tool: when a look every")
    assert best_picture(found).sheet.rows[0][1] == by_rule
    assert by_rule in intervals_page(found)
    lines = best_picture(found).figure.layout.xaxis.tickvals
    alone = found.intervals["by_itself"].item()
    assert sum(0.5 * alone <= line <= 2.0 * alone for line in lines) >= 3  # one figure alone is read off, too
    ranges = RangeStudy(looked_at, found.goal, found.base, found.setting, plan=QUICK).run()
    assert ranges.flat == {}


def test_a_count_stays_where_lives_do_not_scatter() -> None:
    works = shop(0.0, look={"default": LOOK | {"check": LOOK["check"] | {"minutes": 2}}})
    assert not any(intervals(works, plan=QUICK, policy="count").setting.ways)


def test_without_levers_no_other_rule_is_looked_at(looked_at: Works) -> None:
    found = intervals(looked_at, plan=replace(QUICK, levers=False))
    assert found.sets_at[0].ways == ()
    assert found.setting.ways == ()


def test_a_policy_that_goes_by_another_rule_is_taken_as_it_stands(looked_at: Works) -> None:
    sets_at = with_ways(looked_at, all_sets_at(looked_at, 1.0))
    setting = Setting((sets_at[0].ways[0].usual,), ways=(1,))
    policy = policy_of(setting, sets_at, "parts", looked_at.policies["count"])
    assert policy.rule_for("Op 10", "tool") == looked_at.policies["look"].default
    assert is_on(setting, Switch(0, 1)) == 1.0
