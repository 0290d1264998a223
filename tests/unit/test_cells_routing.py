"""Routing, history, stock, speed and engine: each cell is the result's, in metric and in inch where both are there."""

from __future__ import annotations

import math
from pathlib import Path
from typing import Any

import openpyxl
import pandas as pd
import pytest

from linesim.ask import history
from linesim.report.charts.error_history import sources_in
from linesim.report.page.history_page import history_page
from linesim.report.page.justification_content import justification
from linesim.report.page.justification_excel import write_workbook
from linesim.report.page.justification_html import justification_page
from linesim.report.page.sheet_records import Amount, Reader
from linesim.report.terminal.compare import HEADS
from linesim.report.terminal.engine import engine_text
from linesim.report.terminal.history import history_text
from linesim.report.terminal.routing import routing_text
from linesim.report.terminal.speed import speed_text
from linesim.report.terminal.stock import stock_text
from linesim.routing import (
    EngineEffects,
    EngineStudy,
    History,
    RoutingAnswer,
    RoutingStudy,
    SpeedAnswer,
    SpeedStudy,
    StockPlan,
    check_stock_plan,
    cut_named,
    speed_on_paper,
    stock_plan,
    variants_from_text,
)
from linesim.routing.answer import COMPARED
from linesim.routing.why import accounts_of
from linesim.study import StudyOptions, run
from linesim.study.comparing.measures import measure, with_unit
from linesim.works import changed, load_works
from linesim.works.doing import called_at
from tests.printed import Printed, all_show, all_within, html_tables, sheet_table, shows, terminal_tables

VARIANTS = """\
name: One cut or two
question: One cut or two?
line: flange
features: [face]
policy: full life
variants:
  two cuts:
  one cut:
    about: All in one pass
    changes:
      lines:
        flange:
          operations:
            Op 10: null
            Op 20: {strokes: {finish: {cuts: {finish: {depth: 3.5 mm}}}}}
"""


@pytest.fixture(scope="module")
def answer() -> RoutingAnswer:
    works = changed(load_works("scenarios/smallest.yaml"), {"run": {"length": "3 shifts"}})
    return RoutingStudy(variants_from_text(VARIANTS, works), 1, StudyOptions(3)).run()


@pytest.fixture(scope="module")
def past() -> History:
    works = changed(load_works("scenarios/smallest.yaml"), {"run": {"length": "2 shifts"}})
    return history(works, "face", replications=3)


@pytest.fixture(scope="module")
def stock() -> tuple[StockPlan, pd.DataFrame]:
    works = load_works("scenarios/crankcase-line.yaml")
    plan = stock_plan(works, "upper face", policy="by its place in the line", wanted_cpk=0.5)
    return plan, check_stock_plan(plan, plan.policy, 3, 2)


@pytest.fixture(scope="module")
def fast() -> SpeedAnswer:
    works = changed(load_works("scenarios/smallest.yaml"), {"run": {"length": "3 shifts"}})
    return SpeedStudy(speed_on_paper(works, cut_named(works, "finish"), "full life"), StudyOptions(3)).run()


@pytest.fixture(scope="module")
def engine() -> EngineEffects:
    works = changed(load_works("scenarios/works.yaml"), {"run": {"length": "3 days", "warm_up": "2 shifts"}})
    return EngineStudy(works, "by its place in the line", StudyOptions(2)).run()


def the(tables: list[Printed], title: str) -> Printed:
    """The one table whose title begins so."""
    (one,) = [table for table in tables if table.title.startswith(title)]
    return one


# routing


def test_variants_are_shown_on_the_terminal_as_they_are(answer: RoutingAnswer) -> None:
    tables = terminal_tables(routing_text(answer))
    content, rows = the(tables, "What "), answer.content
    assert content.column("variant") == rows["variant"].to_list()
    for head, name in {
        "cuts": "cuts", "cutting min": "cut_min", "machine min": "operation_min", "machines": "machines",
        "kW": "power_kw", "idle %": "idle_percent",
    }.items():  # fmt: skip
        all_show(content.column(head), rows[name].astype(float))
    values = answer.table.set_index(["variant", "measure"])
    names = list(answer.variants.names)
    measures, less = the(tables, "Variants"), the(tables, 'Less "two cuts"')
    for each in COMPARED:
        head, scale = HEADS[each].replace("money", answer.currency), 100.0 if measure(each).is_share else 1.0
        own = [values.loc[(name, each)] for name in names]
        all_within(measures.column(head), [scale * r["mean"] for r in own], [scale * r["half_width"] for r in own])
        for cell, row in zip(less.column(head), own[1:], strict=True):
            shows(cell, scale * row["less_first"], scale * row["less_first_half_width"], not row["is_apart"])
    capability(the(tables, "Capability"), answer)


def capability(table: Printed, answer: RoutingAnswer) -> None:
    rows = answer.capability.sort_values(["feature", "characteristic"], kind="stable")
    money = answer.currency
    assert table.column("variant") == rows["variant"].to_list()
    for head, name, scale in (
        ("mean", "mean", 1.0), ("sd", "sd", 1.0), ("Cpk", "cpk", 1.0), ("out %", "share_out", 100.0),
        (f"loss {money}", "loss_per_part", 1.0),
    ):  # fmt: skip
        all_show(table.column(head), scale * rows[name])
    widths = ("sd_half_width", "cpk_half_width", "share_out_half_width", "loss_half_width")
    for nth, (name, scale) in enumerate(zip(widths, (1.0, 1.0, 100.0, 1.0), strict=True)):
        all_show(table.column("±", nth), scale * rows[name])


UNITS = [(False, "µm", 1.0), (True, "µin", 1.0 / 0.0254)]


def sheet_values(answer: RoutingAnswer, money: float) -> dict[str, list[tuple[float, float]]]:
    """What the sheet has to show of each variant: value and half width, in the reader's units and currency."""
    values: dict[str, list[tuple[float, float]]] = {}
    for head, name, scale in (
        ("good parts/h", "good_per_hour", 1.0), ("cost USD/part", "cost_per_good_part", money),
        ("of it loss USD/part", "quality_loss_per_good_part", money),
        ("contribution USD/h", "contribution_per_hour", money), ("first pass %", "first_pass_yield", 100.0),
    ):  # fmt: skip
        own = answer.table[answer.table["measure"] == name]
        values[head] = [
            (scale * mean, scale * width) for mean, width in zip(own["mean"], own["half_width"], strict=True)
        ]
    return values


Spreads = dict[tuple[str, str], tuple[float, float, float, float, float, float]]


def spreads(answer: RoutingAnswer, per_um: float) -> Spreads:
    """By characteristic and variant: spread in the reader's small unit, Cpk and loss with their half widths."""
    rows = answer.capability.sort_values(["feature", "characteristic"], kind="stable").to_dict(orient="records")
    scale = [per_um * (1000.0 if row["unit"] == "mm" else 1.0) for row in rows]
    return {
        (f"{row['feature']}, {row['characteristic']}", str(row["variant"])): (
            by * row["sd"], by * row["sd_half_width"], row["cpk"], row["cpk_half_width"],
            0.5 * row["loss_per_part"], 0.5 * row["loss_half_width"],
        )
        for by, row in zip(scale, rows, strict=True)
    }  # fmt: skip


@pytest.mark.parametrize(("is_inch", "unit", "per_um"), UNITS)
def test_the_printed_sheet_shows_every_figure(answer: RoutingAnswer, is_inch: bool, unit: str, per_um: float) -> None:
    content = justification(answer, accounts_of(answer), Reader(is_inch, "USD", 0.5))
    money, capable, even = html_tables(justification_page(content))
    for head, pairs in sheet_values(answer, 0.5).items():
        all_within(money.column(head), [mean for mean, _ in pairs], [width for _, width in pairs])
    for head, name in {
        "cuts": "cuts", "cutting min/part": "cut_min", "machine min/part": "operation_min", "machines": "machines",
    }.items():  # fmt: skip
        all_show(money.column(head), answer.content[name].astype(float))
    wanted = spreads(answer, per_um)
    assert len(capable.rows) * len(answer.variants.names) == len(wanted)
    for row, what in enumerate(capable.column("characteristic")):
        for nth, name in enumerate(answer.variants.names):
            spread, spread_width, cpk, cpk_width, loss, loss_width = wanted[what, name]
            shows(capable.column(f"{name}: sd {unit}")[row], spread, spread_width)
            shows(capable.column("Cpk", nth)[row], cpk, cpk_width)
            shows(capable.column("loss USD/part", nth)[row], loss, loss_width)
    differences(even, answer)


def differences(table: Printed, answer: RoutingAnswer) -> None:
    (row,) = table.rows
    one, first = answer.tried[1], answer.tried[0]
    shows(table.column("cutting min/part")[0], one.content.cut_min - first.content.cut_min)
    for head, name, scale in (
        ("good parts/h", "good_per_hour", 1.0), ("loss USD/part", "quality_loss_per_good_part", 0.5),
        ("contribution USD/h", "contribution_per_hour", 0.5),
    ):  # fmt: skip
        less = answer.difference(one, first, name)
        shows(table.column(head)[0], scale * less.mean, scale * less.half_width, not less.is_apart)
    for head, even, scale in (
        ("even at loss factors times", answer.even_loss(one), 1.0),
        ("even at a machine rate of USD/h", answer.even_rate(one), 0.5),
        ("even at an hour worth USD elsewhere", answer.even_hour(one), 0.5),
    ):
        cell = table.column(head)[0]
        if even.is_bounded and even.low > 0.0:
            value, low, high = (
                float(text) for text in cell.replace("(", "").replace(")", "").replace("to ", "").split()
            )
            assert (value, low, high) == pytest.approx(
                (scale * even.value, scale * even.low, scale * even.high), abs=0.00501
            )
        else:
            assert cell in ("at none", "not significant", "as many machines")
    assert row[0] == one.variant.name


@pytest.mark.parametrize(("is_inch", "unit", "per_um"), UNITS)
def test_the_workbook_holds_every_figure_and_its_half_width(
    answer: RoutingAnswer, tmp_path: Path, is_inch: bool, unit: str, per_um: float
) -> None:
    content = justification(answer, accounts_of(answer), Reader(is_inch, "USD", 0.5))
    file = tmp_path / "sheet.xlsx"
    write_workbook(file, content)
    page = openpyxl.load_workbook(file).active
    money = sheet_table(page, "variant")
    for head, pairs in sheet_values(answer, 0.5).items():
        for row, (mean, width) in zip(money, pairs, strict=True):
            held(row, head, mean, width)
    capable = sheet_table(page, "characteristic")
    assert len(capable) == len(spreads(answer, per_um))
    for row in capable:
        wanted = spreads(answer, per_um)[row["characteristic"], row["variant"]]
        for at, head in enumerate((f"sd {unit}", "Cpk", "loss USD/part")):
            held(row, head, wanted[2 * at], wanted[2 * at + 1])
    (even,) = sheet_table(page, 'against "two cuts"')
    for head, name, scale in (
        ("good parts/h", "good_per_hour", 1.0), ("loss USD/part", "quality_loss_per_good_part", 0.5),
        ("contribution USD/h", "contribution_per_hour", 0.5),
    ):  # fmt: skip
        less = answer.difference(answer.tried[1], answer.tried[0], name)
        held(even, head, scale * less.mean, scale * less.half_width)


def test_what_went_wrong_with_each_variant_comes_of_the_same_runs(answer: RoutingAnswer) -> None:
    cpk = answer.details[answer.details["figure"] == "cpk"].set_index(["policy", "name", "characteristic"])["mean"]
    for row in answer.capability.to_dict(orient="records"):
        assert cpk[row["variant"], row["feature"], row["characteristic"]] == pytest.approx(row["cpk"], nan_ok=True)
    (blame,) = justification(answer).troubles
    assert blame.heads == ("", "two cuts", "one cut")
    for at, built in enumerate(answer.tried, start=1):
        runs = [
            run(built.sample.candidate.works, built.sample.candidate.policy, answer.seed, each) for each in range(3)
        ]
        charged = sum(result.tally.charged.sum() for result in runs) / 3.0
        assert sum(row[at].value for row in blame.rows if isinstance(row[at], Amount)) == pytest.approx(charged)


def held(row: dict[str, Any], head: str, value: float, width: float) -> None:
    """A figure of a workbook with all its digits, and its half width in the column beside it."""
    for key, wanted in ((head, value), (f"{head} ±", width)):
        assert row[key] is None if math.isnan(wanted) else row[key] == pytest.approx(wanted, rel=1e-12), key


def test_the_limits_are_the_drawings_in_either_unit(answer: RoutingAnswer) -> None:
    rows = answer.capability.drop_duplicates(["feature", "characteristic"])
    for is_inch, small, large, per_mm in ((False, "µm", "mm", 1.0), (True, "µin", "in", 1.0 / 25.4)):
        table = html_tables(justification_page(justification(answer, None, Reader(is_inch))))[1]
        shown = dict(zip(table.column("characteristic"), table.column("limits"), strict=True))
        for row in rows.to_dict(orient="records"):
            text = shown[f"{row['feature']}, {row['characteristic']}"]
            scale = per_mm if row["unit"] == "mm" else (1.0 / 0.0254 if is_inch else 1.0)
            unit = large if row["unit"] == "mm" else small
            figures = text.removeprefix("up to ").removesuffix(f" {unit}").split(" to ")
            limits = [limit for limit in (row["lower"], row["upper"]) if not math.isnan(limit)]
            all_show(figures, [scale * limit for limit in limits])


# history


def test_a_history_is_shown_as_it_is(past: History) -> None:
    steps, *more, arising, surface = terminal_tables(history_text(past))
    all_show(steps.column("mean µm"), past.totals["mean_um"])
    all_show(steps.column("sd µm"), past.totals["sd_um"])
    assert steps.column("after") == past.totals["step"].to_list()
    cells = past.table.set_index(["operation", "step", "source"])["variance_um2"].to_dict()
    by_source = [(head.removesuffix(" %"), each.column(head)) for each in (steps, *more) for head in each.heads[2:]]
    by_source = [(source, shares) for source, shares in by_source if not source.endswith(" µm")]
    assert [source for source, _ in by_source] == sources_in(past)
    for source, shares in by_source:
        for cell, row in zip(shares, past.totals.to_dict(orient="records"), strict=True):
            part = cells.get((row["operation"], row["step"], source))
            shows(cell, None if part is None or not row["variance_um2"] else 100.0 * part / row["variance_um2"])
    ordered = past.arising.sort_values("variance_um2", ascending=False, key=abs, kind="stable").head(14)
    assert arising.column("source")[:-1] == ordered["source"].to_list()
    assert arising.column("in")[:-1] == ordered["step"].to_list()
    all_show(arising.column("mean µm")[:-1], ordered["mean_um"])
    shows(arising.column("mean µm")[-1], past.arising["mean_um"].sum())
    all_show(arising.column("variance µm²")[:-1], ordered["variance_um2"])
    all_show(arising.column("±")[:-1], ordered["variance_um2_half_width"])
    all_show(arising.column("share %")[:-1], 100.0 * ordered["share"])
    shows(arising.column("variance µm²")[-1], past.arising["variance_um2"].sum())
    for head, nth, name, scale in (
        ("Ra µm", 0, "ra_um", 1.0), ("±", 0, "ra_um_half_width", 1.0), ("scratched %", 0, "scratched", 100.0),
        ("±", 1, "scratched_half_width", 100.0), ("depth of those µm", 0, "scratch_um", 1.0),
    ):  # fmt: skip
        all_show(surface.column(head, nth), scale * past.surface[name])


def test_the_page_of_a_history_shows_every_part_of_the_variance(past: History) -> None:
    table, _ = html_tables(history_page(past))
    rows = past.arising.sort_values("variance_um2", ascending=False, kind="stable")
    assert table.column("arose at") == [called_at(past.works, past.line, name) for name in rows["operation"]]
    assert table.column("in") == rows["step"].to_list()
    all_within(table.column("mean, µm"), rows["mean_um"], rows["mean_um_half_width"])
    assert table.column("source") == rows["source"].to_list()
    all_within(table.column("variance, µm²"), rows["variance_um2"], rows["variance_um2_half_width"])
    all_show(table.column("share, %"), 100.0 * rows["share"])


# stock, speed, engine


STOCK = {
    "depth mm": "depth_mm", "least mm": "least_mm", "Rz µm": "rz_um", "skin µm": "damaged_um", "ρ µm": "form_um",
    "ε µm": "set_up_um", "scratch µm": "scratch_um", "copies %": "copying_percent", "mean µm": "mean_um",
    "sd µm": "sd_um", "Ra µm": "ra_um", "kW": "power_kw",
}  # fmt: skip
CHOICES = {"cuts": "cuts", "sd µm": "sd_um", "Cp": "cp", "Cpk": "cpk", "Ra µm": "ra_um", "Ra Cpk": "ra_cpk"}


def test_a_stock_plan_is_shown_as_it_is(stock: tuple[StockPlan, pd.DataFrame]) -> None:
    plan, simulated = stock
    page = stock_text(plan, simulated)
    tables = terminal_tables(page)
    for title, rows in (("The routing as it stands", plan.as_it_stands), ("The plan: fewest", plan.plan)):
        table = the(tables, title)
        assert table.column("cut") == rows["cut"].to_list()
        for head, name in STOCK.items():
            all_show(table.column(head), rows[name].astype(float))
    choices = the(tables, "The best choice")
    assert choices.column("which") == plan.choices["which"].to_list()
    for head, name in CHOICES.items():
        all_show(choices.column(head), plan.choices[name].astype(float))
    runs = the(tables, "The plan in the line")
    for head, name, scale in (
        ("sd µm per side", "sd_um", 1.0), ("Cpk", "cpk", 1.0), ("not cleaned up %", "share_not_cleaned_up", 100.0),
    ):  # fmt: skip
        all_show(runs.column(head)[:-1], scale * simulated[name])
    paper = plan.choices[plan.choices["cuts"] == len(plan.plan)].iloc[0]
    for head, value in (("sd µm per side", paper["sd_um"]), ("Cpk", paper["cpk"]), ("not cleaned up %", None)):
        shows(runs.column(head)[-1], value)
    assert 'as the policy "by its place in the line" changes them' in str(page.renderables[-1].renderable)  # type: ignore[union-attr]


SPEED = {
    "m/min": "speed_m_min", "feed mm": "feed_mm", "min /part": "cut_min", "life min": "life_min",
    "change min/part": "change_min_per_part", "kW": "power_kw", "at rate EUR": "cost_at_rate", "edges EUR": "edge_cost",
}  # fmt: skip


def test_speeds_are_shown_as_they_are(fast: SpeedAnswer) -> None:
    paper, line = terminal_tables(speed_text(fast))
    rows = fast.paper.table
    assert paper.column("conditions") == rows["conditions"].to_list()
    for head, name in SPEED.items():
        all_show(paper.column(head), rows[name])
    values = fast.table.set_index(["conditions", "measure"])
    for name in ("good_per_hour", "cost_per_good_part", "contribution_per_hour"):
        own = [values.loc[(conditions, name)] for conditions in fast.samples]
        head = with_unit(measure(name), fast.paper.works.currency)
        all_within(line.column(head), [row["mean"] for row in own], [row["half_width"] for row in own])
    for cell, row in list(zip(line.column("contribution less as it stands"), own, strict=True))[1:]:
        shows(cell, row["less_as_it_stands"], row["less_half_width"], not row["is_apart"])


def test_effects_in_the_engine_are_shown_as_they_are(engine: EngineEffects) -> None:
    effects, pistons = terminal_tables(engine_text(engine))
    rows = engine.table
    assert effects.column("of") == rows["of"].to_list()
    for cell, row in zip(effects.column("effect"), rows.to_dict(orient="records"), strict=True):
        assert cell == f"{row['effect']} {row['unit']}".strip()
    for head, name in {"mean": "mean", "sd": "sd", "least": "least", "greatest": "greatest"}.items():
        all_show(effects.column(head), rows[name])
    all_show(effects.column("±", 0), rows["half_width"])
    has_limits = rows["high"].map(math.isfinite) | rows["low"].map(math.isfinite)
    assert has_limits.any()
    for nth, name in ((0, "share_outside"), (1, "share_half_width")):
        cells = effects.column("out %") if nth == 0 else effects.column("±", 1)
        all_show(cells, (100.0 * rows[name]).where(has_limits))
    for cell, row in zip(effects.column("limits"), rows.to_dict(orient="records"), strict=True):
        figures = cell.replace("≤ ", "").split("-") if math.isfinite(row["high"]) else []
        limits = [limit for limit in (row["low"], row["high"]) if math.isfinite(limit)]
        assert [float(text) for text in figures] == pytest.approx(limits, rel=1e-4)
    all_show(pistons.column("share of bores %"), 100.0 * engine.piston_classes["share"])
    all_show(pistons.column("±"), 100.0 * engine.piston_classes["half_width"])
