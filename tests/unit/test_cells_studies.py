"""Comparison, frontier and the value of a minute: each cell on the terminal and on the page is the result's."""

from __future__ import annotations

import math

import pandas as pd
import pytest

from linesim.ask import compare, worth
from linesim.desk import desk_figures
from linesim.ledger import ITEMS
from linesim.report.page.comparison_page import comparison_page
from linesim.report.page.frontier_page import frontier_page
from linesim.report.page.worth_page import worth_page
from linesim.report.terminal.compare import HEADS, comparison_text
from linesim.report.terminal.frontier import frontier_text
from linesim.report.terminal.worth import worth_text
from linesim.study import MEASURES, WHOLE_WORKS, Comparison, StudyOptions
from linesim.study.comparing.measures import with_unit
from linesim.study.questions.frontier import Frontier, FrontierStudy
from linesim.study.questions.frontier_grid import grid_of
from linesim.study.questions.worth import Worth
from linesim.works import Works, changed, load_works
from linesim.works.doing import called_anywhere
from tests.printed import Printed, all_show, all_within, html_tables, shows, terminal_tables

POLICIES = ["run until it breaks", "every 60 parts", "check the edge"]


def short() -> Works:
    return changed(load_works("scenarios/smallest.yaml"), {"run": {"length": "3 days", "warm_up": "1 shift"}})


@pytest.fixture(scope="module")
def found() -> Comparison:
    return compare(short(), POLICIES, replications=4, workers=1)


@pytest.fixture(scope="module")
def page(found: Comparison) -> list[Printed]:
    return html_tables(comparison_page(found, desk_figures(found.works)))


@pytest.fixture(scope="module")
def points() -> Frontier:
    return FrontierStudy(grid_of(short(), ("life", "run out"), (0.4, 0.7, 1.0)), StudyOptions(4)).run()


@pytest.fixture(scope="module")
def priced() -> Worth:
    return worth(short(), replications=4)


def the(tables: list[Printed], title: str) -> Printed:
    """The one table whose title begins so."""
    (one,) = [table for table in tables if table.title.startswith(title)]
    return one


def factor_of(name: str) -> float:
    return 100.0 if name == "first_pass_yield" else 1.0


def policies_shown(table: Printed, found: Comparison, heads: dict[str, str]) -> None:
    """Every policy by every measure, with the half widths."""
    for measure in MEASURES:
        means = [found.mean(name, measure.name) for name in found.names]
        scale = factor_of(measure.name)
        cells = table.column(heads[measure.name])
        all_within(cells, [scale * mean for mean, _ in means], [scale * width for _, width in means])


def differences_shown(table: Printed, found: Comparison, against: str, heads: dict[str, str]) -> None:
    """Every policy less another one, with half widths and the mark of what is not significant."""
    rows = found.differences[found.differences["against"] == against].set_index(["policy", "measure"])
    names = [name for name in found.names if name != against]
    assert table.column(table.heads[0]) == names
    for measure in MEASURES:
        own, scale = [rows.loc[(name, measure.name)] for name in names], factor_of(measure.name)
        all_within(
            table.column(heads[measure.name]), [scale * row["mean"] for row in own],
            [scale * row["half_width"] for row in own], [not row["is_apart"] for row in own],
        )  # fmt: skip
    assert not rows["is_apart"].all()
    assert rows["is_apart"].any()


def ledger_shown(table: Printed, found: Comparison) -> None:
    """Every item per good part, and their sum."""
    money = found.ledger[found.ledger["line"] == WHOLE_WORKS].set_index(["policy", "item"])["per_good_part"]
    items = [item for item in ITEMS if item in set(money.index.get_level_values("item"))]
    assert table.column(table.heads[0]) == [*items, "all together"]
    for name in found.names:
        sums = [money[name, item] for item in items]
        all_show(table.column(name), [*sums, found.mean(name, "cost_per_good_part")[0]])
        assert sum(sums) == pytest.approx(found.mean(name, "cost_per_good_part")[0])


def times_shown(table: Printed, found: Comparison) -> None:
    """Shares of the constraint's time, which make the whole."""
    own = found.times[found.times["is_constraint"]].groupby(["policy", "state"])["share"].mean()
    states = table.column(table.heads[0])
    for name in found.names:
        all_show(table.column(name), [100.0 * own[name, state] for state in states])
        assert sum(own[name, state] for state in states) == pytest.approx(1.0, abs=0.003)


def test_the_terminal_shows_a_comparison(found: Comparison) -> None:
    tables = terminal_tables(comparison_text(found))
    heads = {name: text.replace("money", found.works.currency) for name, text in HEADS.items()}
    policies = the(tables, "Policies")
    starred = [name for name in found.names if f"* {name}" in policies.column("policy")]
    assert starred == ([found.best.policy] if found.best.is_clear else [])
    assert [name.removeprefix("* ").strip() for name in policies.column("policy")] == list(found.names)
    policies_shown(policies, found, heads)
    assert found.best.policy is not None
    differences_shown(the(tables, "Difference from"), found, found.best.policy, heads)
    ledger_shown(the(tables, "Ledger"), found)
    times_shown(the(tables, "flange: Op 20 holds"), found)


def test_short_heads_of_the_terminal_name_the_measures() -> None:
    words = {
        "good_per_hour": "good/h", "cost_per_good_part": "cost", "quality_loss_per_good_part": "loss",
        "contribution_per_hour": "contrib.", "first_pass_yield": "first pass", "planned_per_100": "planned",
        "unplanned_per_100": "unplanned",
    }  # fmt: skip
    assert all(HEADS[name].startswith(word) for name, word in words.items())
    assert set(words) == {measure.name for measure in MEASURES}


def test_the_page_shows_a_comparison(found: Comparison, page: list[Printed]) -> None:
    heads = {measure.name: with_unit(measure, found.works.currency) for measure in MEASURES}
    policies_shown(the(page, "Mean ±"), found, heads)
    for against in dict.fromkeys(found.differences["against"]):
        table = the(page, f'Less "{against}"')
        role = "the best by its mean" if against == found.best.policy else "today's practice"
        assert table.title == f'Less "{against}", {role}'
        differences_shown(table, found, against, heads)
        rows = found.differences[
            (found.differences["against"] == against) & (found.differences["measure"] == found.judged_by.name)
        ]
        for head, name in (("p", "p_value"), ("Holm's p", "p_holm")):
            for cell, value in zip(table.column(head), rows[name], strict=True):
                assert (cell == "<0.0001") == (value < 0.0001)
                if value >= 0.0001:
                    shows(cell, value)
    ledger_shown(the(page, "EUR per good part"), found)
    times_shown(the(page, "flange: Op 20 (mill face), share"), found)


def test_the_page_shows_stock_waits_and_capability(found: Comparison, page: list[Printed]) -> None:
    table, details = the(page, "Of waits and capabilities the worst"), found.details
    (flange,) = found.works.lines
    for head, figure, of in (
        ("parts in the line", "mean_in_line", "line"),
        ("lead time, min", "mean_lead_min", "line"),
    ):
        for policy in POLICIES:
            (row,) = details[
                (details["policy"] == policy) & (details["of"] == of) & (details["figure"] == figure)
                & (details["line"] == flange)
            ].to_dict("records")  # fmt: skip
            mean, _, half_width = table.column(policy)[table.column("").index(head)].partition(" ± ")
            shows(mean, row["mean"])
            shows(half_width, row["half_width"])


def test_the_page_lists_every_source_of_the_handbook(found: Comparison, page: list[Printed]) -> None:
    table, desk = the(page, "Figures of the handbook"), desk_figures(found.works)
    pairs = dict.fromkeys(zip(desk.sources["source"], desk.sources["strength"], strict=True))
    assert list(zip(table.column("source"), table.column("strength"), strict=True)) == list(pairs)
    for row in desk.sources.to_dict(orient="records"):
        (uses,) = [each[2] for each in table.rows if (each[0], each[1]) == (row["source"], row["strength"])]
        assert f"{row['entry']}: {row['figure']}" in uses


FRONTIER = {"good/h": "good_per_hour", "loss EUR /part": "quality_loss_per_good_part",
            "contrib. EUR /h": "contribution_per_hour"}  # fmt: skip
FRONTIER_PAGE = {"good parts per hour": "good_per_hour", "quality loss, EUR": "quality_loss_per_good_part",
                 "contribution, EUR/h": "contribution_per_hour"}  # fmt: skip


def frontier_shown(table: Printed, rows: pd.DataFrame, heads: dict[str, str]) -> None:
    for head, name in heads.items():
        widths = rows[f"{name}_half_width"]
        all_within(table.column(head), rows[name], widths)


def test_a_frontier_is_shown_as_it_is(points: Frontier) -> None:
    rows = points.table
    terminal = the(terminal_tables(frontier_text(points)), "Policies by rising output")
    frontier_shown(terminal, rows, FRONTIER)
    signs = [
        "K" if knee else ">" if line else " " for knee, line in zip(rows["is_knee"], rows["is_in_line"], strict=True)
    ]
    assert terminal.column("policy") == [f"{sign} {name}" for sign, name in zip(signs, rows["policy"], strict=True)]
    assert terminal.column("dominated by") == rows["beaten_by"].to_list()
    marks = {"on it": "on it", "open": "open ~", "dominated": ""}
    assert terminal.column("standing") == [marks[place] for place in rows["place"]]
    printed = the(html_tables(frontier_page(points)), "Mean ±")
    frontier_shown(printed, rows, FRONTIER_PAGE)
    for cell, row in zip(printed.column("standing"), rows.to_dict(orient="records"), strict=True):
        assert cell == (f'dominated by "{row["beaten_by"]}"' if row["beaten_by"] else row["place"])
    for cell, row in zip(printed.column("policy"), rows.to_dict(orient="records"), strict=True):
        assert cell.startswith(row["policy"])
        assert cell.endswith(", knee") == row["is_knee"]
        assert ("the same: " in cell) == bool(row["twins"])


def test_the_sentence_on_a_frontier_counts_in_good_grammar(points: Frontier) -> None:
    first = points.sentences[0]
    for wrong in ("one are", "no are", "none are", "two is"):
        assert wrong not in first, first


def test_the_value_of_a_minute_is_shown_as_it_is(priced: Worth) -> None:
    rows = priced.table
    terminal = the(terminal_tables(worth_text(priced)), "Value of one bottleneck minute")
    printed = the(html_tables(worth_page(priced)), "Mean ±")
    for table, less, more, busy, stopped in (
        (terminal, "a minute less EUR /h", "a minute more EUR /h", "busy %", "stopped min/h"),
        (printed, "a minute less, EUR/h", "a minute more, EUR/h", "busy, %", "stopped, min/h"),
    ):
        assert table.column("operation") == [called_anywhere(priced.works, name) for name in rows["operation"]]
        all_within(table.column(less), rows["worth"], rows["worth_half_width"], ~rows["is_told"])
        all_within(table.column(more), -rows["cost"], rows["cost_half_width"])
        all_show(table.column(busy), 100.0 * rows["utilisation"])
        all_show(table.column(stopped), rows["stopped_min"])
    all_show(terminal.column("machines"), rows["machines"])
    ranks = [rank if told else math.nan for rank, told in zip(rows["rank_worth"], rows["is_told"], strict=True)]
    all_show(terminal.column("rank by money"), ranks)
    all_show(terminal.column("rank by load"), rows["rank_utilisation"])
