"""What the pages on cutters and cuts show is what the studies answered, cell by cell, in metric and inch."""

from __future__ import annotations

import math
from functools import cache
from typing import Any

import numpy as np
import pandas as pd
import pytest

from linesim.ask import compare, drivers, history, intervals, sets, speed, worth
from linesim.desk import desk_figures
from linesim.report.charts.intervals import best_intervals_figure
from linesim.report.theme.shown import System
from linesim.report.views import cuts as cuts_view
from linesim.report.views import further as further_view
from linesim.report.views import intervals as intervals_view
from linesim.report.views import life as life_view
from linesim.report.views import past as past_view
from linesim.report.views.policy import policies_picture, rules_sheet
from linesim.routing import RoutingAnswer, RoutingStudy, stock_plan, variants_from_text
from linesim.routing.asked import SideBySide, cut_names
from linesim.study import WHOLE_WORKS, Comparison, StudyOptions, run
from linesim.study.comparing.measures import measure, with_unit
from linesim.study.comparing.past import policy_runs
from linesim.study.comparing.past_between import between_studies
from linesim.study.questions.worth import Worth
from linesim.study.search import BestIntervals, SearchPlan
from linesim.study.search.intervals.one_set import SetCurve, SetStudy
from linesim.works import changed, load_works
from linesim.works.doing import called_at
from tests.unit.cells import assert_column, assert_columns, column, is_shown_as, text_of
from tests.unit.dashboard_app import SCENARIOS

SMALL = changed(load_works(SCENARIOS / "smallest.yaml"), {"run": {"length": 1440}})
BLOCK = changed(load_works(SCENARIOS / "block-line.yaml"), {"run": {"length": 2400, "warm_up": 480}})
MONEY = SMALL.currency
UM = {"metric": ("µm", 1.0), "inch": ("µin", 1000.0 / 25.4)}
MM = {"metric": ("mm", 1.0), "inch": ("in", 1.0 / 25.4)}


# --- policies ------------------------------------------------------------------------------------------------------


@pytest.fixture(scope="module")
def compared() -> Comparison:
    return compare(SMALL, replications=3, workers=1)


def test_every_policy_has_the_means_of_its_own_runs(compared: Comparison) -> None:
    sheet = policies_picture(compared).sheet
    assert column(sheet, "policy") == list(SMALL.policies)
    heads = {
        "good parts/h": "good_per_hour",
        f"quality loss, {MONEY} a part": "quality_loss_per_good_part",
        f"cost, {MONEY} a part": "cost_per_good_part",
        f"contribution, {MONEY}/h": "contribution_per_hour",
    }
    for head, name in heads.items():
        means = [
            float(
                np.mean([run(SMALL, policy, replication=each, engine="fast").lines[name].iloc[0] for each in range(3)])
            )
            for policy in SMALL.policies
        ]
        assert_column(sheet, head, means, [compared.mean(policy, name)[1] for policy in SMALL.policies])
    rows = compared.replications[compared.replications["line"] == WHOLE_WORKS]
    assert sheet.frame["good_per_hour"].to_list() == pytest.approx(
        rows.groupby("policy", sort=False)["good_per_hour"].mean().reindex(list(SMALL.policies)).to_list()
    )


def test_a_rule_stands_with_the_parts_that_it_means() -> None:
    sheet = rules_sheet(BLOCK, "by parts")
    table = desk_figures(BLOCK, "by parts").sets
    assert column(sheet, "operation")[0] == "Op 10 (mill bottom face)"
    assert column(sheet, "operation") == [called_at(BLOCK, "block", name) for name in table["operation"]]
    assert column(sheet, "cutter set") == table["cutter"].to_list()
    assert_columns(
        sheet, {"about every … parts": table["parts_between"], "an edge lasts, parts": table["parts_per_edge"]}
    )
    for cell, between, life in zip(
        column(sheet, "of its life"), table["parts_between"], table["parts_per_edge"], strict=True
    ):
        assert cell == "–" if math.isinf(between) or math.isinf(life) else is_shown_as(cell, 100.0 * between / life)
    policy = BLOCK.policies["by parts"]
    for where, cutter, words in zip(table["operation"], table["cutter"], column(sheet, "changed"), strict=True):
        rule = policy.exceptions.get(f"{where} / {cutter}", policy.exceptions.get(cutter, policy.default))
        assert rule.parts is None or str(rule.parts) in words


# --- further questions ---------------------------------------------------------------------------------------------


@pytest.fixture(scope="module")
def priced() -> Worth:
    return worth(SMALL, "full life", replications=3)


def test_a_minute_has_its_value_cost_load_and_stops(priced: Worth) -> None:
    picture = further_view.worth_picture(priced)
    table = priced.table
    assert column(picture.sheet, "operation") == ["Op 20 (mill face)", "Op 10 (mill face)", "Op 30 (wash)"]
    assert list(table["operation"]) == ["Op 20", "Op 10", "Op 30"]
    assert_column(picture.sheet, f"a minute less, {MONEY}/h", table["worth"], table["worth_half_width"])
    assert_column(picture.sheet, f"a minute more, {MONEY}/h", -table["cost"], table["cost_half_width"])
    assert_columns(picture.sheet, {"busy, %": 100.0 * table["utilisation"], "stopped, min/h": table["stopped_min"]})
    assert column(picture.sheet, "") == ["" if is_sure else "not significant" for is_sure in table["is_told"]]
    (points,) = picture.figure.data
    assert list(points.x) == pytest.approx(table["worth"].to_list(), nan_ok=True)
    assert list(points.error_x.array) == pytest.approx(table["worth_half_width"].to_list(), nan_ok=True)
    assert [mark == "diamond" for mark in points.marker.symbol] == table["is_told"].to_list()


def test_numbers_of_sets_stand_with_their_gains() -> None:
    answer = sets(SMALL, "every 60 parts", replications=3, fresh=2, most_runs=20)
    sheet, table = further_view.numbers_sheet(answer), answer.table
    assert_columns(sheet, {"now": table["now"], "best": table["best"]})
    hours = SMALL.calendar.minutes_per()["year"] / 60.0
    assert_column(sheet, f"one more costs, {MONEY}/year", table["hourly_cost"] * hours)
    for head, name in (("one more gains", "one_more"), ("one fewer gains", "one_fewer")):
        assert_column(sheet, head, table[f"{name}_gain"].astype(float))
        for cell, gain, is_sure in zip(
            column(sheet, head), table[f"{name}_gain"], table[f"{name}_is_told"], strict=True
        ):
            assert cell.endswith("~") == (not pd.isna(gain) and not is_sure)


def test_each_input_stands_with_its_range_and_what_both_ends_do() -> None:
    answer = drivers(SMALL, "every 60 parts", replications=2, trajectories=2, are_together=True)
    picture = further_view.drivers_picture(answer)
    table = answer.one_at_a_time
    assert column(picture.sheet, "input") == table["words"].to_list()
    assert column(picture.sheet, "range") == [f"{low:g} to {high:g} times" for low, high in
                                              zip(table["low"], table["high"], strict=True)]  # fmt: skip
    for head, name, trace in zip(
        ("at its low end", "at its high end"), ("at_low", "at_high"), picture.figure.data, strict=True
    ):
        assert_column(picture.sheet, head, table[name], table[f"{name}_half_width"])
        assert list(trace.x) == table[name].head(len(trace.x)).to_list()
        assert [not mark.endswith("-open") for mark in trace.marker.symbol] == (
            table[f"{name}_is_told"].head(len(trace.x)).to_list()
        )


@pytest.fixture(scope="module")
def curve() -> SetCurve:
    return SetStudy(SMALL, "Op 20 / finish mill", "full life", options=StudyOptions(3)).run()


def test_the_curve_of_a_set_has_a_row_for_each_interval(curve: SetCurve) -> None:
    picture = intervals_view.curve_picture(curve)
    table = curve.table
    assert column(picture.sheet, "changed after") == [f"{parts} parts" for parts in table["parts"]]
    assert_column(picture.sheet, f"{MONEY} per good part", table["mean"], table["half_width"])
    assert_column(picture.sheet, "share of its life", table["life_share"])
    for cell, parts, worse in zip(
        column(picture.sheet, "more than the least"), table["parts"], table["worse"], strict=True
    ):
        assert cell == "–" if parts == curve.best else is_shown_as(cell, worse)
    line, least = picture.figure.data
    assert (list(line.x), list(line.y)) == (table["parts"].to_list(), table["mean"].to_list())
    assert list(line.error_y.array) == pytest.approx(table["half_width"].to_list(), nan_ok=True)
    assert (list(least.x), list(least.y)) == ([curve.best], [table["mean"].min()])


@pytest.fixture(scope="module")
def best() -> BestIntervals:
    return intervals(SMALL, policy="every 60 parts", plan=SearchPlan(runs=50, replications=4, fresh=2))


def test_the_best_intervals_stand_beside_their_ranges_and_the_verdict(best: BestIntervals) -> None:
    sheet, table = intervals_view.best_picture(best).sheet, best.intervals
    assert column(sheet, "cutter set") == table["cutter"].to_list()
    assert_columns(sheet, {"change after parts": table["parts"], "share of life": table["life_share"],
                           "by itself": table["by_itself"].astype(float)})  # fmt: skip
    figure = best_intervals_figure(best)
    alone, together = figure.data[-2:]
    assert (list(alone.x), list(together.x)) == (table["by_itself"].to_list(), table["parts"].to_list())
    ranges = [(trace.y[0], trace.x) for trace in figure.data[:-2]]
    for at, ends in ranges:
        assert tuple(ends) == (table["flat_low"].iloc[at], table["flat_high"].iloc[at])
    verdict = best.verdict
    assert verdict is not None
    against = intervals_view.verdict_sheet(best)
    assert against is not None
    for row, by in zip(against.rows, best.measures, strict=True):
        factor = 100.0 if by.is_share else 1.0
        wanted = (verdict.best[by.name].mean, verdict.base[by.name].mean, verdict.differences[by.name].mean)
        assert text_of(row[0]) == with_unit(by, MONEY)
        for cell, value in zip(row[1:4], wanted, strict=True):
            assert is_shown_as(text_of(cell), factor * value)
        assert text_of(row[4]) == ("" if verdict.differences[by.name].is_apart else "not significant")
    assert [text_of(head) for head in against.heads] == ["", "best intervals", "before", "difference", ""]


# --- how a part is made --------------------------------------------------------------------------------------------

VARIANTS = """\
name: Cuts of the face
question: One cut or two?
line: flange
features: [face]
policy: full life
variants:
  two cuts:
  one cut:
    about: All in one cut
    changes:
      lines:
        flange:
          operations:
            Op 10: null
            Op 20: {strokes: {finish: {cuts: {finish: {depth: 3.5 mm}}}}}
"""


@cache
def routed() -> RoutingAnswer:
    works = changed(load_works(SCENARIOS / "smallest.yaml"), {"run": {"length": "3 shifts"}})
    return RoutingStudy(variants_from_text(VARIANTS, works), 1, StudyOptions(2)).run()


def test_variants_stand_with_every_measure_and_the_deciding_one_is_drawn() -> None:
    answer = routed()
    picture = cuts_view.variants_picture(SideBySide(answer.variants, None, answer))
    table = answer.table.set_index(["variant", "measure"])
    names = column(picture.sheet, "variant")
    assert names == list(answer.variants.names)
    for name in dict.fromkeys(answer.table["measure"]):
        head = with_unit(measure(name), answer.variants.base.currency)
        if head not in [text_of(each) for each in picture.sheet.heads]:
            continue
        factor = 100.0 if measure(name).is_share else 1.0
        own = [table.loc[(variant, name)] for variant in names]
        assert_column(picture.sheet, head, [factor * row["mean"] for row in own],
                      [factor * row["half_width"] for row in own])  # fmt: skip
    (points,) = picture.figure.data
    deciding = [table.loc[(variant, answer.measure.name)] for variant in names]
    assert list(points.x) == [row["mean"] for row in deciding]
    sign = 1.0 if answer.measure.is_more_better else -1.0
    front = max(range(len(names)), key=lambda at: sign * deciding[at]["mean"])
    assert [mark == "star" for mark in points.marker.symbol] == [at == front for at in range(len(names))]


def test_what_the_features_take_is_the_answer_s() -> None:
    answer = routed()
    sheet, table = cuts_view.content_sheet(answer), answer.content
    assert_columns(sheet, {"cuts": table["cuts"], "min a part": table["operation_min"], "machines": table["machines"],
                           f"they cost, {answer.currency}/h": table["machines_per_hour_cost"],
                           "kW": table["power_kw"], "idle, %": table["idle_percent"]})  # fmt: skip
    assert column(sheet, "held back by") == table["constraint"].to_list()
    assert column(sheet, "changed at, of the life") == [str(text) for text in table["changed_at"]]


@pytest.mark.parametrize("system", ["metric", "inch"])
def test_capability_of_variants_is_shown_in_the_units_asked_for(system: System) -> None:
    answer = routed()
    sheet, table = cuts_view.capability_sheet(answer, system), answer.capability
    of = {"mm": MM[system], "µm": UM[system]}
    assert column(sheet, "unit") == [of[unit][0] for unit in table["unit"]]
    assert_column(sheet, "mean", [mean * of[unit][1] for mean, unit in zip(table["mean"], table["unit"], strict=True)])
    in_um = [sd * (1000.0 if unit == "mm" else 1.0) for sd, unit in zip(table["sd"], table["unit"], strict=True)]
    assert_column(sheet, f"sd, {UM[system][0]}", [sd * UM[system][1] for sd in in_um])
    assert_column(sheet, "Cpk", table["cpk"], table["cpk_half_width"])
    assert_columns(sheet, {"out, %": 100.0 * table["share_out"],
                           "not cleaned up, %": 100.0 * table["share_not_cleaned_up"],
                           f"loss, {answer.currency} a part": table["loss_per_part"]})  # fmt: skip


@cache
def followed() -> Any:
    return history(BLOCK, "cylinder bores", line="block", policy="full life", replications=2)


@pytest.mark.parametrize("system", ["metric", "inch"])
def test_the_history_of_an_error_is_in_its_table_and_its_bars(system: System) -> None:
    answer = followed()
    unit, factor = UM[system]
    picture = life_view.life_picture(answer, system)
    totals = answer.totals
    assert column(picture.sheet, "after") == [
        f"{called_at(BLOCK, 'block', o)}: {s}" for o, s in zip(totals["operation"], totals["step"], strict=True)
    ]
    assert_columns(
        picture.sheet, {f"mean, {unit}": totals["mean_um"] * factor, f"sd, {unit}": totals["sd_um"] * factor}
    )
    ends = [sum(trace.x[at] for trace in picture.figure.data) for at in range(len(totals))]
    assert ends == pytest.approx((totals["sd_um"] * factor).to_list())
    variances = answer.table.set_index(["operation", "step", "source"])["variance_um2"].to_dict()
    keys = list(zip(totals["operation"], totals["step"], strict=True))
    for trace in picture.figure.data:
        for at, key in enumerate(keys):
            shown, variance = column(picture.sheet, f"{trace.name}, %")[at], variances.get((*key, trace.name))
            whole = float(totals["variance_um2"].iloc[at])
            assert shown == "" if variance is None else is_shown_as(shown.replace("-", "−"), 100.0 * variance / whole)
            assert (trace.x[at] > 0.0) == (variance is not None and variance > 0.0)
    arising = life_view.arising_sheet(answer)
    ordered = answer.arising.sort_values("variance_um2", ascending=False, key=abs, kind="stable")
    assert column(arising, "source") == ordered["source"].to_list()
    assert column(arising, "in") == ordered["step"].to_list()
    assert_column(arising, "share, %", 100.0 * ordered["share"])


@pytest.mark.late
@pytest.mark.parametrize("system", ["metric", "inch"])
def test_a_stock_plan_is_shown_cut_by_cut(system: System) -> None:
    answer = stock_plan(BLOCK, "cylinder bores", "block")
    sheets = life_view.stock_sheets(answer, system)
    (um, per_um), (mm, per_mm) = UM[system], MM[system]
    kw, per_kw = ("kW", 1.0) if system == "metric" else ("hp", 1.0 / 0.745699872)
    choices = answer.choices
    assert_columns(sheets[0], {"cuts": choices["cuts"], f"sd, {um}": choices["sd_um"] * per_um, "Cpk": choices["cpk"],
                               f"Ra, {um}": choices["ra_um"] * per_um, "Ra Cpk": choices["ra_cpk"]})  # fmt: skip
    tables = [answer.plan, answer.as_it_stands] if len(answer.plan) else [answer.as_it_stands]
    for sheet, table in zip(sheets[1:], tables, strict=True):
        assert column(sheet, "cut") == table["cut"].to_list()
        assert_columns(
            sheet,
            {
                f"depth, {mm}": table["depth_mm"] * per_mm,
                f"least stock, {mm}": table["least_mm"] * per_mm,
                f"mean, {um}": table["mean_um"] * per_um,
                f"sd, {um}": table["sd_um"] * per_um,
                f"Ra, {um}": table["ra_um"] * per_um,
                kw: table["power_kw"] * per_kw,
            },
        )


@cache
def sped() -> Any:
    name = cut_names(SMALL, "flange")[-1]
    return speed(SMALL, name, "flange", "full life", replications=2)


@pytest.mark.parametrize("system", ["metric", "inch"])
def test_speeds_and_feeds_stand_on_paper_and_in_the_line(system: System) -> None:
    answer = sped()
    paper, line = life_view.speed_sheets(answer, system)
    table = answer.paper.table
    speed, feed = (
        (("m/min", 1.0), ("mm", 1.0)) if system == "metric" else (("ft/min", 1000.0 / 304.8), ("in", 1.0 / 25.4))
    )
    assert_columns(
        paper,
        {
            f"speed, {speed[0]}": table["speed_m_min"] * speed[1],
            f"feed, {feed[0]}": table["feed_mm"] * feed[1],
            "min a part": table["cut_min"],
            "edge life, min": table["life_min"],
            f"at the machine's rate, {MONEY}": table["cost_at_rate"],
            f"edges alone, {MONEY}": table["edge_cost"],
        },
    )
    by = answer.table.set_index(["conditions", "measure"])
    names = column(line, "conditions")
    for name in ("good_per_hour", "cost_per_good_part", "contribution_per_hour"):
        own = [by.loc[(each, name)] for each in names]
        assert_column(line, with_unit(measure(name), MONEY), [row["mean"] for row in own],
                      [row["half_width"] for row in own])  # fmt: skip
    last = [by.loc[(each, "contribution_per_hour")] for each in names]
    for cell, row in zip(column(line, "contribution less as it stands")[1:], last[1:], strict=True):
        assert is_shown_as(cell, row["less_as_it_stands"])


# --- past studies --------------------------------------------------------------------------------------------------


def test_past_studies_show_the_means_of_their_runs(compared: Comparison) -> None:
    table = compared.replications.assign(works="w")
    means = policy_runs(table)
    sheet = past_view.means_sheet(means, SMALL)
    whole = table[table["line"] == WHOLE_WORKS]
    policies = column(sheet, "policy")
    assert column(sheet, "runs") == ["3"] * len(policies)
    for name in ("good_per_hour", "cost_per_good_part", "quality_loss_per_good_part", "contribution_per_hour"):
        wanted = whole.groupby("policy")[name].mean().reindex(policies)
        assert_column(sheet, with_unit(measure(name), MONEY), wanted)
    figure = past_view.means_picture(means, "cost_per_good_part", SMALL).figure
    assert list(figure.data[0].x) == pytest.approx(
        whole.groupby("policy")["cost_per_good_part"].mean().reindex(policies).to_list()
    )


def test_two_past_studies_stand_in_their_own_columns(compared: Comparison) -> None:
    class Kept:
        def __init__(self, number: int) -> None:
            self.number = number

    one = compared.replications.assign(works="w", seed=compared.seed)
    dearer = one.assign(cost_per_good_part=one["cost_per_good_part"] + 1.25)
    table = between_studies(one, dearer)
    first, second = Kept(3), Kept(8)
    sheet = past_view.between_sheet(table, "cost_per_good_part", SMALL, first, second)  # type: ignore[arg-type]
    means = [compared.mean(name, "cost_per_good_part")[0] for name in column(sheet, "policy")]
    assert_columns(sheet, {"study 3": means, "study 8": [mean + 1.25 for mean in means],
                           "difference": [-1.25] * len(means)})  # fmt: skip
