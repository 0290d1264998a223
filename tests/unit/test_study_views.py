"""Views of the pages on cutters, cuts and past studies, without a browser: what they say is what the studies found."""

from __future__ import annotations

import math
from itertools import pairwise

import pytest

from dashboard.forms.trial_fields import AS_ALL, GROUP, NAME, trial_errors, trial_rows, with_policy, with_trial
from linesim.ask import compare, history
from linesim.errors import ScenarioError
from linesim.report.theme.colours import NIGHT
from linesim.report.views.differences import scenario_changes
from linesim.report.views.intervals import curve_picture
from linesim.report.views.life import life_picture, stock_sheets
from linesim.report.views.policy import policies_note, policies_picture, recommendation, rules_sheet
from linesim.routing import stock_plan
from linesim.routing.asked import LifeGlance, cut_names
from linesim.study import Crew, StudyOptions
from linesim.study.comparing.glance import FIRST_REPLICATIONS, PolicyGlance, shorter
from linesim.study.search.choices import goals_for, set_names
from linesim.study.search.intervals.one_set import SHARES, SetStudy, set_at_named
from linesim.works import Works, changed, load_works, to_yaml
from tests.unit.dashboard_app import SCENARIOS

SMALLEST = load_works(SCENARIOS / "smallest.yaml")
BLOCK = load_works(SCENARIOS / "block-line.yaml")
SHORT = changed(BLOCK, {"run": {"length": 4800, "warm_up": 480}})


def written(works: Works, policy: str) -> dict[str, tuple[str, str]]:
    return {row.key: (row.kind, row.interval) for row in trial_rows(works, policy)}


# --- policies ------------------------------------------------------------------------------------------------------


def test_the_first_look_counts_a_shorter_span_and_the_last_word_is_that_of_the_comparison() -> None:
    steps = list(PolicyGlance(SHORT, options=StudyOptions(4, crew=Crew(1))).steps())
    answers = [step.answer for step in steps if step.answer is not None]
    assert answers[0].works.run.length == shorter(SHORT).run.length == 2400
    assert answers[0].n_replications == FIRST_REPLICATIONS
    assert all(one.done <= other.done and one.total == other.total for one, other in pairwise(steps))
    assert [step.is_final for step in steps].index(True) == len(steps) - 1
    direct = compare(SHORT, replications=4)
    assert answers[-1].sentences == direct.sentences
    assert answers[-1].policies.equals(direct.policies)


def test_a_run_that_is_short_already_needs_no_first_look() -> None:
    short = changed(SMALLEST, {"run": {"length": 960}})
    assert shorter(short) is short
    assert all(
        step.answer is None or step.answer.works.run.length == 960
        for step in PolicyGlance(short, options=StudyOptions(2)).steps()
    )


def test_every_policy_has_a_point_with_its_intervals_and_a_mark_for_its_place() -> None:
    found = compare(SMALLEST, replications=4)
    picture = policies_picture(found, NIGHT)
    traces = [trace for trace in picture.figure.data if trace.hovertext is not None]
    points = {name: (x, width) for trace in traces
              for name, x, width in zip(trace.hovertext, trace.x, trace.error_x.array, strict=True)}  # fmt: skip
    assert points == {name: found.mean(name, "good_per_hour") for name in found.names}
    symbols = [trace.marker.symbol for trace in traces]
    assert len(symbols) == len(set(symbols))
    assert len(picture.sheet.rows) == len(found.names)
    assert "Means of 4 runs" in policies_note(found)


def test_a_recommendation_is_only_given_where_the_data_carry_it() -> None:
    clear = compare(SMALLEST, ["every 60 parts", "every shift"], replications=8)
    assert clear.best.is_clear
    first, named = recommendation(clear)[0], f'Take "{clear.best.policy}".'
    assert named in first
    assert f'"{clear.best.policy}" does not hold the drawing (face, ' in first.partition(named)[0]
    twins = changed(SMALLEST, {"policies": {"the same again": {"default": {"parts": 60}}}})
    open_ = compare(twins, ["every 60 parts", "the same again"], replications=3)
    assert not open_.best.is_clear
    assert "not beyond doubt" in recommendation(open_)[0]


@pytest.mark.parametrize("policy", list(BLOCK.policies))
def test_a_trial_that_changes_nothing_has_the_same_rules_for_every_set(policy: str) -> None:
    group = BLOCK.policies[policy].group_past
    share = "" if group is None else str(group)
    works = with_trial(BLOCK, policy, trial_rows(BLOCK, policy), written(BLOCK, policy), "trial", share)
    assert [row[2:] for row in rules_sheet(works, "trial").rows] == [row[2:] for row in rules_sheet(BLOCK, policy).rows]
    assert works.policies["trial"].group_past == group
    assert list(works.policies)[:-1] == list(BLOCK.policies)


def test_a_trial_of_the_same_name_replaces_the_older_one_whole() -> None:
    rows = trial_rows(BLOCK, "by parts")
    first = with_trial(BLOCK, "by parts", rows, written(BLOCK, "by parts"), "trial", "0.8")
    plain = {
        key: ("at a share of its life", "0.9") if key == "all sets" else (AS_ALL, "")
        for key in written(BLOCK, "by parts")
    }
    again = with_trial(first, "by parts", rows, plain, "trial", "").policies["trial"]
    assert again.default.life == 0.9
    assert again.exceptions == {}
    assert again.group_past is None


def test_faults_of_a_trial_are_told_together_each_at_its_row() -> None:
    rows, texts = trial_rows(BLOCK, "by parts"), written(BLOCK, "by parts")
    texts |= {"all sets": ("after so many parts", "-5"), "Op 80 / deck mill": ("on a look every so many parts", "0, 9")}
    with pytest.raises(ScenarioError) as refused:
        with_trial(BLOCK, "by parts", rows, texts, "trial", "3")
    beside, others = trial_errors(BLOCK, rows, "trial", refused.value.problems)
    assert set(beside) == {"all sets", "Op 80 / deck mill", GROUP}
    assert not others
    with pytest.raises(ScenarioError) as refused:
        with_trial(BLOCK, "by parts", rows, texts, "  ", "")
    assert set(trial_errors(BLOCK, rows, "  ", refused.value.problems)[0]) == {NAME}


def test_a_policy_found_gets_a_name_of_its_own_and_is_not_taken_twice() -> None:
    policy = BLOCK.policies["full life"].model_copy(update={"about": "found"})
    works, name = with_policy(BLOCK, "grouped", policy)
    assert name == "grouped 2"
    assert works.policies["grouped"] == BLOCK.policies["grouped"]
    assert with_policy(works, "grouped", works.policies[name]) == (works, "grouped 2")


# --- one set -------------------------------------------------------------------------------------------------------


def test_the_interval_of_one_set_is_run_as_a_policy_of_the_user_s_would_be() -> None:
    key = set_names(SMALLEST)[0]
    found = SetStudy(SMALLEST, key, "full life", options=StudyOptions(3, crew=Crew(1))).run()
    assert len(found.table) <= len(SHARES)
    row = found.table.iloc[2]
    works = changed(
        SMALLEST, {"policies": {"own": {"default": {"life": 1.0}, "exceptions": {key: {"parts": int(row["parts"])}}}}}
    )
    own = compare(works, ["own"], replications=3)
    assert (row["mean"], row["half_width"]) == pytest.approx(own.mean("own", "cost_per_good_part"))
    assert found.table["mean"].min() == found.table.set_index("parts")["mean"][found.best]
    assert found.flat is not None
    assert found.flat.low <= found.best <= found.flat.high


def test_the_flat_range_is_drawn_and_its_ends_cost_no_more_than_the_tolerance() -> None:
    key = set_names(SMALLEST)[0]
    found = SetStudy(SMALLEST, key, "full life", options=StudyOptions(4, crew=Crew(1))).run()
    assert found.flat is not None
    inside = found.table[found.table["parts"].between(found.flat.low, found.flat.high)]
    allowed = found.tolerance * found.table["mean"].min()
    others = inside[inside["parts"] != found.best]
    assert (others["worse"] + others["worse_half_width"] <= allowed).all()
    figure = curve_picture(found).figure
    band = next(shape for shape in figure.layout.shapes if shape.type == "rect")
    assert (band.x0, band.x1) == (found.flat.low, found.flat.high)


def test_a_set_that_is_not_there_is_told_with_a_near_name() -> None:
    with pytest.raises(Exception, match='did you mean "Op 60 / rough blade"'):
        set_at_named(BLOCK, "Op 60 / rough blad")


def test_goals_are_those_that_make_sense() -> None:
    assert "contribution" in goals_for(BLOCK).values()
    worthless = changed(BLOCK, {"lines": {"block": {"worth": 0}}})
    assert list(goals_for(worthless).values()) == ["cost", "output"]


# --- cuts ----------------------------------------------------------------------------------------------------------


@pytest.mark.longer
def test_the_life_history_is_the_library_s_and_in_inches_the_same_bars() -> None:
    found = LifeGlance(SHORT, "cylinder bores", "block", "full life", StudyOptions(replications=1)).run()
    direct = history(SHORT, "cylinder bores", line="block", policy="full life", replications=1)
    assert found.totals.equals(direct.totals)
    metric, inch = (life_picture(found, system) for system in ("metric", "inch"))
    for one, other in zip(metric.figure.data, inch.figure.data, strict=True):
        assert [value * 1000.0 / 25.4 for value in one.x] == pytest.approx(list(other.x))
    ends = [sum(trace.x[at] for trace in metric.figure.data) for at in range(len(found.totals))]
    assert ends == pytest.approx(found.totals["sd_um"].tolist())
    hatches = {(trace.marker.pattern.shape, trace.marker.pattern.solidity) for trace in metric.figure.data}
    assert len(hatches) == len(metric.figure.data)


def test_a_stock_plan_has_the_same_depths_in_both_systems() -> None:
    found = stock_plan(BLOCK, "bottom face", "block", wanted_cpk=0.5)
    assert not found.plan.empty
    metric, inch = (stock_sheets(found, system)[-1] for system in ("metric", "inch"))
    for one, other in zip(metric.rows, inch.rows, strict=True):
        assert float(other[2][0]) == pytest.approx(float(one[2][0]) / 25.4, abs=0.0006)


def test_cuts_with_speed_and_feed_are_named_once() -> None:
    names = cut_names(BLOCK, "block")
    assert len(names) == len(set(names)) > 5


# --- past studies --------------------------------------------------------------------------------------------------


def test_scenarios_are_told_apart_entry_by_entry_and_long_lists_are_cut() -> None:
    operation = {"operations": {"Op 10": {"machines": 2}}}
    other = to_yaml(changed(BLOCK, {"lines": {"block": operation}, "cutters": {"finish blade": {"price": 41}}}))
    told = scenario_changes(to_yaml(BLOCK), other)
    assert sorted(line.partition(":")[0] for line in told) == ["block, Op 10, machines", "cutters, finish blade, price"]
    assert sorted(line.rpartition(" ")[2] for line in told) == ["2", "41"]
    assert scenario_changes("a: 1", "a: 1") == []
    assert scenario_changes("a: [1, 2]", "b: {c: 2}") == ["a: [1, 2] is gone", "b: new, c: 2"]
    long = scenario_changes("".join(f"a{number}: 1\n" for number in range(99)), "{}")
    assert long[-1] == "... and 39 more entries"


def test_nan_is_never_shown_as_a_figure() -> None:
    found = compare(SMALLEST, replications=1)
    shown = policies_picture(found).sheet.html
    assert "nan" not in shown
    assert "no interval from one run" in shown
    assert not math.isnan(found.mean(found.names[0], "good_per_hour")[0])
