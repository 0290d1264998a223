"""Levers beside the intervals: what is sought, how a policy says it, in words, in the trial form and on a frontier."""

from __future__ import annotations

from typing import Any

import pytest

from dashboard.forms.trial_fields import trial_errors, trial_rows, with_trial
from dashboard.forms.trial_levers import levers_as_said, trial_levers
from linesim.ask import intervals
from linesim.cards.gauging import gauge_lines
from linesim.desk import desk_figures
from linesim.errors import ScenarioError, StudyError
from linesim.plan.build import Planner, make_plan
from linesim.report.theme.markup import numbers
from linesim.report.views.intervals import levers_sheet
from linesim.report.views.policy import rules_sheet
from linesim.study.advice.moves import moves_of
from linesim.study.comparing.words import contrast_words, policy_words
from linesim.study.questions.frontier_grid import grid_of
from linesim.study.search import SearchPlan
from linesim.study.search.common.lever import Lever
from linesim.study.search.common.levers import centred_values, levers_of, levers_under, with_levers
from linesim.study.search.intervals.best import Try
from linesim.study.search.intervals.flat_range import next_values
from linesim.study.statistics.intervals import Difference
from linesim.works import Works
from tests.floors import a_blade, a_cut, a_shop

AIM = Lever("aim", "Op 10 / blade", 2.0, -1000.0, 1000.0, 0.5, 0)


def shop(gauge: bool = False, **policy: Any) -> Works:
    """A face cut by a blade that draws back 0.3 µm for each part, changed every five; a gauge corrects it, or none."""
    corrects = {"cut": "cut", "share": 0.5, "dead_band": 2}
    operation: dict[str, Any] = {"strokes": {"stroke": {"cuts": {"cut": a_cut()}}}, "first_piece": {}}
    if gauge:
        operation["gauges"] = {"gauge": {"feature": "face", "error": 1.5, "minutes": 1, "corrects": corrects}}
    features = {"face": {"size": {"limits": [99.99, 100.01], "loss_at_limit": 5}}}
    policies = {"as stated": {"default": {"parts": 5}, **policy}, "other": {"default": {"parts": 9}}}
    return a_shop({"Op 10": operation}, line={"features": features}, cutters={"blade": a_blade()}, policies=policies)


def test_an_aim_is_sought_where_no_gauge_corrects_and_share_and_dead_band_where_one_does() -> None:
    assert [lever.name for lever in levers_of(shop(), "as stated")] == ["aim of Op 10 / blade"]
    names = [lever.name for lever in levers_of(shop(gauge=True), "as stated")]
    every = "distance from one reading to the next of Op 10 / gauge"
    assert names == ["correction share of Op 10 / gauge", "dead band of Op 10 / gauge", every]


def test_levers_begin_where_the_policy_has_them_and_are_written_back() -> None:
    works = shop(gauge=True, corrections={"gauge": {"share": 0.3}})
    levers = levers_of(works, "as stated")
    assert levers_under(works, "as stated", levers) == (0.3, 2.0, 1.0)
    policy = with_levers(works.policies["other"], levers, (0.75, 1.5, levers[2].snapped(2.9)))
    assert policy.corrections["Op 10 / gauge"].model_dump() == {"share": 0.75, "dead_band": 1.5, "every": 3}
    plan = Planner(works).plan("trial", policy)
    assert (plan.gauges.correction_share[0], plan.gauges.dead_band_um[0], plan.gauges.every[0]) == (0.75, 1.5, 3)
    assert levers[2].snapped(1e9) == 4.0  # a quarter of what it reads now, and no less


def test_a_gauge_that_reads_more_seldom_takes_less_time_at_the_desk_and_on_the_card() -> None:
    works = shop(gauge=True)
    seldom = shop(gauge=True, corrections={"gauge": {"every": 5}})
    minutes = [float(desk_figures(each).operations["gauging_min"].iloc[0]) for each in (works, seldom)]
    assert minutes[0] > 0.0
    assert minutes[1] == pytest.approx(minutes[0] / 5.0)
    (line,) = gauge_lines(seldom.lines["line"], seldom.lines["line"].operations["Op 10"], "Op 10",
                          seldom.policies["as stated"])  # fmt: skip
    assert line.every == 5
    assert policy_words(seldom.policies["as stated"]).endswith("(gauge reads one part in 5)")
    label = next(each.label for each in trial_levers(seldom, "as stated") if each.entry == "corrections")
    assert typed(seldom, {}).policies["trial"].corrections["Op 10 / gauge"].every == 5
    assert typed(seldom, {label: "0.4, 1 um, 2"}).policies["trial"].corrections["Op 10 / gauge"].every == 2


def test_batches_and_overhauls_are_levers_of_a_line() -> None:
    """40 and 20 in a batch are moved together, three castings a step; the overhaul in tens of minutes."""
    ages = {"ages": {"shape": 2, "scale": 500}, "repair": 10, "overhaul": {"every": 300, "minutes": 20}}
    policies = {"as stated": {"default": "run out"}, "long": {"default": "run out"}}
    policies["long"]["batches"] = {"line": {"B": 60, "A": 120}}
    parts = {"A": {"batch": 40}, "B": {"batch": 20}}
    works = a_shop({"Op 10": {"minutes": 2, "breakdowns": ages}}, line={"parts": parts}, policies=policies)
    levers = levers_of(works, "as stated")
    assert [(lever.name, lever.unit, lever.grid) for lever in levers] == [
        ("cycle of batches of line", "castings", 3.0),
        ("minutes between overhauls of Op 10", "min", 10.0),
    ]
    assert levers_under(works, "as stated", levers) == (60.0, 300.0)
    assert levers_under(works, "long", levers_of(works, "long")) == (180.0, 300.0)
    policy = with_levers(works.policies["as stated"], levers, (levers[0].snapped(91.0), levers[1].snapped(414.0)))
    assert policy.batches == {"line": {"A": 60, "B": 30}}
    assert policy.overhauls == {"Op 10": 410.0}
    plan = Planner(works).plan("trial", policy)
    assert plan.part_types.batch_to.tolist() == [60, 90]
    assert plan.upkeeps.overhaul_every_min.tolist() == [410.0]
    other_way = with_levers(works.policies["long"], levers_of(works, "long"), (90.0, 300.0))
    assert list(other_way.batches["line"].items()) == [("B", 30), ("A", 60)]


def changed_over(**policy: Any) -> Works:
    """Two types in turn before a blade whose machine is changed over for 9 minutes, with 8 parts that may wait."""
    operations = {
        "Op 10": {"minutes": {"exponential": {"mean": 1}}},
        "Op 20": {"buffer": 8, "changeover": {"minutes": 9}, "strokes": {"stroke": {"cuts": {"cut": a_cut()}}}},
    }
    features = {"face": {"size": {"limits": [99.99, 100.01], "loss_at_limit": 5}}}
    line = {"parts": {"A": {"batch": 1}, "B": {"batch": 1}}, "features": features, "worth": 30}
    policies = {"as stated": {"default": {"parts": 50}, **policy}}
    return a_shop(
        operations, line=line, cutters={"blade": a_blade(life_cv=0.3, change=10)}, policies=policies, length=4800
    )


def test_which_type_is_taken_next_is_a_lever_where_machines_are_changed_over() -> None:
    works = changed_over()
    lever = next(each for each in levers_of(works, "as stated") if each.kind == "sequence")
    assert (lever.name, lever.unit, lever.shown(0.0)) == ("order of types at Op 20", "", "oldest first")
    assert levers_under(works, "as stated", [lever]) == (0.0,)
    policy = with_levers(works.policies["as stated"], [lever], [2.0])
    assert policy.sequences == {"Op 20": "least changeover"}
    in_turn = changed_over(sequences={"Op 20": "in turn"})
    assert levers_under(in_turn, "as stated", [lever]) == (3.0,)
    moves = [each.words for each in moves_of(works) if each.entry == "sequences"]
    assert moves[0] == 'Let Op 20 (bore face) take waiting parts "same type first" instead of "oldest first"'
    assert len(moves) == 3


def test_a_search_finds_what_saves_changeovers() -> None:
    """With 8 parts waiting the same type first needs a changeover for several parts, oldest first one for each.

    Batches of one cannot be grown step by step to where they pay, nor is anything between two orders: both are tried
    far from where they are. In all, five times the contribution.
    """
    works = changed_over()
    found = intervals(works, plan=SearchPlan(runs=300, replications=4, fresh=4))
    assert found.verdict is not None
    best, base = (each["contribution_per_hour"].mean for each in (found.verdict.best, found.verdict.base))
    assert best > 4.0 * base
    assert found.policy.sequences["Op 20"] != "oldest first"
    assert "order of types at Op 20" in " ".join(found.sentences)
    row = found.lever_values.set_index("lever").loc["order of types at Op 20"]
    assert row["flat_low"] is None
    shown = levers_sheet(found)
    assert shown is not None
    told = {row[0]: row[1:3] for row in shown.rows}["order of types at Op 20"]
    assert told == numbers(found.policy.sequences["Op 20"], "oldest first")


def test_a_planner_forgets_the_levers_of_the_policy_before() -> None:
    works = shop(aims={"blade": 3}, rezero={"blade": 2})
    planner = Planner(works)
    assert planner.plan("first", works.policies["as stated"]).cuts.aim_um.tolist() == [3.0]
    other = planner.plan("second", works.policies["other"])
    assert other.cuts.aim_um.tolist() == [0.0]
    assert other.mounts.rezero_parts.tolist() == [0]


def test_centred_values_follow_the_interval() -> None:
    works = shop()
    levers = levers_of(works, "as stated")
    assert centred_values(works, works.policies["as stated"], (0.0,), levers) == (0.5,)  # 0.6, to half a micrometre
    assert centred_values(works, works.policies["other"], (0.0,), levers) == (1.0,)  # 1.2


def test_values_of_a_lever_are_tried_outward_as_long_as_they_are_cheap() -> None:
    assert next_values(AIM, 4.0, [], 1.0) == [3.5, 4.5]
    cheap = [Try(AIM.name, value, Difference(0.1, 0.1, 0.5, 8)) for value in (3.5, 4.5)]
    dear = Try(AIM.name, 5.0, Difference(5.0, 0.1, 0.5, 8))
    assert next_values(AIM, 4.0, [*cheap, dear], 1.0) == [3.0]


def test_policies_say_in_words_what_they_do_beside_their_rules() -> None:
    works = shop(gauge=True, aims={"blade": 2}, corrections={"gauge": {"share": 0.5, "dead_band": 3}})
    words = policy_words(works.policies["as stated"])
    assert words == (
        "changing the cutters after 5 parts (blade aimed 2 µm deeper, gauge corrects 0.5 of what it reads beyond 3 µm)"
    )
    alike = works.policies["as stated"].model_copy(update={"aims": {}})
    assert contrast_words(works.policies["as stated"], alike) is None


def test_the_sheet_of_rules_shows_where_edges_are_aimed() -> None:
    sheet = rules_sheet(shop(aims={"blade": "centred"}, rezero={"blade": 3}), "as stated")
    assert sheet.heads[3] == "aimed"
    assert sheet.rows[0][3] == "at the middle of its drift"
    assert "blade set anew after 3 parts" in sheet.caption
    assert "aimed" not in rules_sheet(shop(), "as stated").heads


def typed(works: Works, texts: dict[str, str]) -> Works:
    """The works with a trial whose levers were typed so."""
    rows, levers = trial_rows(works, "as stated"), trial_levers(works, "as stated")
    rules = {row.key: (row.kind, row.interval) for row in rows}
    return with_trial(works, "as stated", rows, rules, "trial", "", levers_as_said(levers, texts))


def test_the_trial_form_takes_aims_corrections_and_setting_anew() -> None:
    works = shop(gauge=True, aims={"blade": "centred"})
    labels = [lever.label for lever in trial_levers(works, "as stated")]
    assert labels == [
        "fresh edge deeper by, Op 10 / blade",
        "share, dead band of, Op 10 / gauge",
        "set anew after parts, Op 10 / blade",
    ]
    trial = typed(works, dict(zip(labels, ("6 um", "0.4, 1 um", "30"), strict=True))).policies["trial"]
    assert trial.aims == {"Op 10 / blade": 6.0}
    assert trial.corrections["Op 10 / gauge"].model_dump() == {"share": 0.4, "dead_band": 1.0, "every": None}
    assert trial.rezero == {"Op 10 / blade": 30}
    assert typed(works, {}).policies["trial"].aims == {"Op 10 / blade": "centred"}
    assert typed(works, dict.fromkeys(labels, "")).policies["trial"].aims == {}


def test_what_is_wrong_with_a_lever_stands_beside_it() -> None:
    works = shop(gauge=True)
    label = trial_levers(works, "as stated")[0].label
    with pytest.raises(ScenarioError) as refused:
        typed(works, {label: "middle"})
    levers = trial_levers(works, "as stated")
    beside, others = trial_errors(works, trial_rows(works, "as stated"), "trial", refused.value.problems, levers)
    assert set(beside) == {label}
    assert not others


def test_a_frontier_sets_aims_and_shares_beside_intervals() -> None:
    grid = {each.name: each for each in grid_of(shop(gauge=True), ("aimed", "half corrected"), (0.5,))}
    aimed, half = grid["0.5 of life, aimed"], grid["0.5 of life, half corrected"]
    assert aimed.works.policies[aimed.policy].aims == {"Op 10 / blade": "centred"}
    assert make_plan(half.works, str(half.policy)).gauges.correction_share.tolist() == [0.5]
    with pytest.raises(StudyError, match="no gauge of this works corrects a cut"):
        grid_of(shop(), ("half corrected",), (0.5,))
