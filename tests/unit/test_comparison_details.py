"""Intervals with every figure of a study: they are those of the runs' own tables, one by one."""

from __future__ import annotations

import math
from functools import cache
from types import SimpleNamespace
from typing import Any, cast

import numpy as np
import pandas as pd
import pytest
from rich.console import Console
from scipy import stats

from linesim.ask import compare
from linesim.desk import desk_figures
from linesim.plan.build import make_plan
from linesim.report.page.comparison_page import comparison_page
from linesim.report.terminal.compare_details import detail_tables
from linesim.report.terminal.detail_rows import detail_rows
from linesim.result import Result
from linesim.result.details import DETAIL_FIGURES, Details
from linesim.result.trouble_details import TROUBLE_FIGURES
from linesim.study import Comparison, run
from linesim.study.comparing.tables import LINE_DETAILS, ledger_table, time_table
from linesim.study.statistics.intervals import each_of, mean_interval, mean_intervals
from linesim.works import Works, changed
from tests.builders import a_works
from tests.printed import html_tables
from tests.unit.test_trouble_tables import works as troubled_works

N = 3


def works() -> Works:
    return a_works(
        run={"length": "2 shifts"},
        cutters={"rough blade": {"lead_time": 20}},
        lines={"block": {"operations": {"Op 20": {"power": 25}, "Op 10": {"scrap_chance": 0.05}}}},
    )


@cache
def troubled() -> Works:
    """Hidden faults, first pieces, gauges that charge, a test, a failure in the field, and nobody in one shift."""
    people = {"people": {"gaugers": {"count": 2, "by_shift": [2, 0]}}, "calendar": {"shift": 480, "shifts_per_day": 2}}
    first = {"lines": {"line": {"operations": {"Op 10": {"first_piece": {"by": "gaugers"}}}}}}
    return changed(troubled_works(), {"run": {"length": 3000}, **people, **first})


WORKS = {"healthy": works, "troubled": troubled}


@cache
def compared(which: str = "healthy") -> Comparison:
    return compare(WORKS[which](), replications=N, confidence=0.9)


@cache
def results(policy: str, which: str = "healthy") -> list[Result]:
    return [run(WORKS[which](), policy, replication=at, engine="fast") for at in range(N)]


def own_value(result: Result, row: dict[str, Any]) -> float:
    """The figure of one run, read off its tables."""
    if row["of"] == "blame":
        own = result.blame
        is_cut = own["cut"] != ""
        own = own[own["cut"].where(is_cut, own["cutter"]).eq(row["name"]) & own["of_operation"].eq(row["operation"])]
        return float(own.loc[own["line"].eq(row["line"]) & own["cause"].eq(row["characteristic"]), row["figure"]].sum())
    by_shift = result.staffing.assign(shift="shift " + result.staffing["shift"].astype(str))
    later = {"line": row["line"], "test": row["name"], "what": row["characteristic"], "where": row["of"]}
    table, where = {
        "fault": (result.faults, {"line": row["line"], "operation": row["operation"]}),
        "first piece": (result.first_pieces, {"line": row["line"], "operation": row["operation"]}),
        "test": (result.later, later),
        "field": (result.later, later),
        "line": (result.lines, {"line": row["line"]}),
        "operation": (result.operations, {"line": row["line"], "operation": row["operation"]}),
        "people": (result.people, {"pool": row["name"]}),
        "shift": (by_shift, {"pool": row["name"], "shift": row["characteristic"]}),
        "cutter": (result.sets, {"cutter": row["name"]}),
        "characteristic": (
            result.characteristics,
            {"line": row["line"], "feature": row["name"], "characteristic": row["characteristic"]},
        ),
    }[row["of"]]
    for column, value in where.items():
        table = table[table[column] == value]
    assert len(table) == 1
    if row["figure"] == "share_out":
        return float(table["share_below"].iloc[0] + table["share_above"].iloc[0])
    return float(table[row["figure"]].iloc[0])


@pytest.mark.parametrize("which", WORKS)
def test_every_detail_is_the_mean_of_its_column_with_the_half_width_of_its_interval(which: str) -> None:
    seen, something = set(), set()
    for row in compared(which).details.to_dict("records"):
        values = np.array([own_value(result, row) for result in results(row["policy"], which)])
        seen.add((row["of"], row["figure"]))
        something |= {row["of"]} if (values > 0.0).any() else set()
        assert (row["n"], row["confidence"]) == (N, 0.9)
        if not np.isfinite(values).all():  # nobody was called, or a capability without any spread
            assert not math.isfinite(row["mean"])
            assert math.isnan(row["half_width"])
        else:
            half_width = stats.t.ppf(0.95, N - 1) * values.std(ddof=1) / math.sqrt(N)
            assert row["mean"] == pytest.approx(values.mean(), rel=1e-12, abs=1e-12), row
            assert row["half_width"] == pytest.approx(half_width, rel=1e-9, abs=1e-9), row
    wanted = {("line", figure) for figure in LINE_DETAILS}
    wanted |= {(of, figure) for of, figures in DETAIL_FIGURES.items() for figure in figures}
    if which == "healthy":  # its gauges can turn parts down, and nothing else can go wrong in it
        assert seen == {(of, figure) for of, figure in wanted if of not in {"shift", *TROUBLE_FIGURES} - {"blame"}}
    else:
        assert seen == wanted
        assert something >= {"shift", *TROUBLE_FIGURES}


def test_all_that_gauges_charge_is_in_the_details() -> None:
    (name,) = compared("troubled").names
    table = compared("troubled").details
    means = table.loc[table["of"] == "blame", "mean"]
    assert means.sum() == pytest.approx(np.mean([result.tally.charged.sum() for result in results(name, "troubled")]))


def test_units_are_those_of_the_tables() -> None:
    table = compared().details
    characteristics = results(compared().names[0])[0].characteristics.set_index(["feature", "characteristic"])["unit"]
    own = table[(table["of"] == "characteristic") & (table["figure"] == "mean")]
    for row in own.to_dict("records"):
        assert row["unit"] == characteristics[row["name"], row["characteristic"]]
    assert set(table.loc[table["figure"].str.endswith("_min"), "unit"]) == {"min"}
    assert set(table.loc[table["figure"].str.contains("share|yield|cpk"), "unit"]) == {""}


def test_a_run_puts_its_figures_under_the_heads_of_any_policys_plan() -> None:
    names = list(works().policies)
    heads = [Details(works(), make_plan(works(), name)).heads for name in names]
    assert all(each == heads[0] for each in heads)
    assert len(set(heads[0])) == len(heads[0])


def test_shares_of_time_and_items_of_the_ledger_have_their_intervals() -> None:
    for table, value in ((compared().times, "share"), (compared().ledger, "per_good_part")):
        assert {"half_width", "confidence", "n"} <= set(table.columns)
        assert set(table["n"]) == {N}
        assert table[value].notna().all()
    name = compared().names[0]
    row = compared().times.query("policy == @name and operation == 'Op 50' and state == 'cutting'").iloc[0]
    shares = [result.machines.set_index("machine").loc["Op 50", "cutting_share"] for result in results(name)]
    found = mean_interval(shares, 0.9)
    assert (row["share"], row["half_width"]) == pytest.approx((found.mean, found.half_width))


def test_three_shares_worked_by_hand() -> None:
    """0.2, 0.3 and 0.7: mean 0.4, standard deviation 0.2646; t of 95 % and two degrees of freedom is 4.303."""
    head = {"policy": "a", "line": "l", "operation": "o", "machine": "m", "state": "cutting"}
    rows = pd.DataFrame([head | {"replication": at, "share": share} for at, share in enumerate((0.2, 0.3, 0.7))])
    row = time_table(rows, 0.95).iloc[0]
    assert row["share"] == pytest.approx(0.4)
    assert row["half_width"] == pytest.approx(4.303 * 0.26458 / math.sqrt(3), abs=1e-3)
    wider = time_table(rows, 0.95, looks=2).iloc[0]
    assert wider["half_width"] == pytest.approx(6.205 * 0.26458 / math.sqrt(3), abs=1e-3)


def test_money_that_one_run_does_not_know_has_no_interval() -> None:
    head = {"policy": "a", "line": "l", "item": "labour"}
    rows = pd.DataFrame(
        [head | {"replication": at, "per_good_part": money} for at, money in enumerate((1.0, math.nan))]
    )
    other = rows.assign(policy="b", per_good_part=[1.0, 3.0])
    table = ledger_table(pd.concat([rows, other])).set_index("policy")
    assert table.loc["a", ["per_good_part", "half_width"]].isna().all()
    assert table.loc["b", "half_width"] == pytest.approx(12.706, abs=1e-3)


@pytest.mark.parametrize("n", [1, 2, 7])
def test_many_intervals_at_once_are_those_one_by_one(n: int) -> None:
    values = np.random.default_rng(5).normal(10.0, 3.0, (n, 6))
    values[:, 1], values[0, 2], values[:, 3] = 4.25, math.nan, 0.0
    for confidence in (0.95, each_of(0.9, 4)):
        means, half_widths = mean_intervals(values, confidence)
        for column in range(values.shape[1]):
            one = mean_interval(values[:, column], confidence)
            assert (means[column], half_widths[column]) == pytest.approx((one.mean, one.half_width), nan_ok=True)


def test_the_terminal_shows_the_worst_capability_and_the_longest_waits() -> None:
    console = Console(width=100, record=True, file=None, quiet=False)
    with console.capture() as capture:
        for table in detail_tables(compared()):
            console.print(table)
    text = capture.get()
    table = compared().details
    capability = table[table["figure"] == "cpk"].groupby(["name", "characteristic"])["mean"].mean()
    name, characteristic = capability.idxmin()
    assert f"lowest Cpk: {name}, {characteristic}" in text
    waits = table[(table["of"] == "operation") & (table["figure"] == "mean_wait_min")]
    longest = waits.groupby("operation")["mean"].mean().idxmax()
    assert f'a part waits before "{longest}", min' in text
    assert len(text.splitlines()) < 30


@pytest.mark.parametrize(("cpk", "shown"), [(4000.0, ("over 10", "")), (1.25, ("1.25", "± 0.10"))])
def test_a_capability_without_scatter_is_not_shown_as_a_figure(cpk: float, shown: tuple[str, str]) -> None:
    answer = compared()
    details = answer.details.copy()
    details.loc[details["figure"] == "cpk", ["mean", "half_width"]] = cpk, 0.1
    rows = detail_rows(cast("Comparison", SimpleNamespace(details=details, names=answer.names, works=answer.works)))
    figures = next(row.figures for row in rows if row.words.startswith("lowest Cpk"))
    assert set(figures.values()) == {shown}


def test_the_page_shows_what_went_wrong_where_anything_did() -> None:
    titles = {}
    for which, made in WORKS.items():
        page = comparison_page(compared(which), desk_figures(made()))
        titles[which] = [table.title for table in html_tables(page)]
        assert ("What went wrong" in page) == any(title.endswith("mean of a run") for title in titles[which])
        assert ("People by shift; mean of a run" in titles[which]) == (which == "troubled")
    assert sum(title.endswith("mean of a run") for title in titles["troubled"]) == len(TROUBLE_FIGURES) + 1
