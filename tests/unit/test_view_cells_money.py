"""What the pages on the line, the money and the drawing show is what single runs gave, cell by cell."""

from __future__ import annotations

import math
import re
from functools import cache

import numpy as np
import pandas as pd
import pytest
from scipy import stats

from linesim.ledger import ITEMS
from linesim.report.theme.shown import System
from linesim.report.views import drawing as drawing_view
from linesim.report.views import money as money_view
from linesim.report.views.line import run_strip
from linesim.result import Result
from linesim.study import run
from linesim.study.comparing.closely import CloseLook, look
from linesim.study.one.wear_trail import WearTrail, trail
from linesim.study.questions.in_engine import Cylinder
from linesim.works import changed, load_works
from tests.unit.cells import assert_column, assert_columns, column, figure_of, is_shown_as, key_of, text_of
from tests.unit.dashboard_app import SCENARIOS

WORKS = changed(load_works(SCENARIOS / "block-line.yaml"), {"run": {"length": 9600, "warm_up": 480}})
LINE, FEW = "block", 4
POLICIES = ["run until it breaks", "full life"]
ROUNDED = 2e-3
"""Money per good part by which rows rounded to the minor unit may differ from quantity times price."""


@pytest.fixture(scope="module")
def seen() -> CloseLook:
    return look(WORKS, POLICIES, FEW)


@cache
def runs(policy: str) -> tuple[Result, ...]:
    return tuple(run(WORKS, policy, replication=each, engine="fast") for each in range(FEW))


def mean_and_width(values: list[float]) -> tuple[float, float]:
    """Student's interval at 95 %, from the textbook's formula."""
    sd = float(np.std(values, ddof=1))
    return float(np.mean(values)), float(stats.t.ppf(0.975, len(values) - 1) * sd / math.sqrt(len(values)))


def of_lines(policy: str, name: str) -> list[float]:
    return [float(each.lines[name].iloc[0]) for each in runs(policy)]


def money(policy: str, **where: str) -> list[float]:
    """Money per good part of some rows of the ledger, run by run."""
    found = []
    for each in runs(policy):
        rows = each.ledger
        for name, value in where.items():
            rows = rows[rows[name] == value]
        shipped = float(each.tally.shipped[0])
        found.append(float((rows["quantity"] * rows["price"]).sum()) / shipped)
    return found


@pytest.mark.parametrize("policy", POLICIES)
def test_the_strip_has_the_means_and_widths_of_the_runs(seen: CloseLook, policy: str) -> None:
    wanted = {
        "output": ("good_per_hour", 1.0),
        "cost": ("cost_per_good_part", 1.0),
        "quality loss in it": ("quality_loss_per_good_part", 1.0),
        "contribution": ("contribution_per_hour", 1.0),
        "right first time": ("first_pass_yield", 100.0),
    }
    strip = {name: text for name, text, _ in run_strip(seen, policy, LINE)}
    assert set(strip) == set(wanted)
    for name, (of, factor) in wanted.items():
        mean, width = mean_and_width([factor * value for value in of_lines(policy, of)])
        assert is_shown_as(strip[name], mean), (name, strip[name], mean)
        assert is_shown_as(strip[name].partition("±\xa0")[2], width), (name, strip[name], width)


@pytest.mark.parametrize("policy", POLICIES)
def test_the_ledger_has_each_item_of_this_policy(seen: CloseLook, policy: str) -> None:
    sheet = money_view.item_sheet(seen, policy, LINE)
    items = column(sheet, "item")
    assert items == [item for item in ITEMS if any(money(policy, item=item))]
    pairs = [mean_and_width(money(policy, item=item)) for item in items]
    total = float(np.mean(of_lines(policy, "cost_per_good_part")))
    head = f"{WORKS.currency} per good part"
    for cell, (mean, _) in zip(column(sheet, head), pairs, strict=True):
        assert is_shown_as(cell, mean, ROUNDED)
    for cell, (mean, _) in zip(column(sheet, "share"), pairs, strict=True):
        assert figure_of(cell) == pytest.approx(100.0 * mean / total, abs=0.06)
    assert is_shown_as(text_of(sheet.foot[1]), total)
    assert f'"{policy}"' in sheet.caption


@pytest.mark.parametrize("policy", POLICIES)
def test_money_stands_at_the_operation_and_item_where_it_was_spent(seen: CloseLook, policy: str) -> None:
    picture = money_view.money_picture(seen, policy, LINE)
    names = list(map(key_of, picture.figure.layout.yaxis.ticktext))
    assert names == [name for name in WORKS.lines[LINE].operations if name in names] + ["works", "whole line"]
    for trace in picture.figure.data:
        for name, shown in zip(names, trace.x, strict=True):
            assert shown == pytest.approx(np.mean(money(policy, operation=name, item=trace.name)), abs=2e-3)
    for name, cells in zip(column(picture.sheet, "where"), picture.sheet.rows, strict=True):
        for item in [text_of(head) for head in picture.sheet.heads][1:-1]:
            cell = column(picture.sheet, item)[column(picture.sheet, "where").index(name)]
            expected = float(np.mean(money(policy, operation=key_of(name), item=item)))
            assert cell == "–" if expected == 0.0 else figure_of(cell) == pytest.approx(expected, abs=0.0075)
        assert figure_of(text_of(cells[-1])) == pytest.approx(np.mean(money(policy, operation=key_of(name))), abs=0.02)
    castings = re.search(r"casting \((.*)\)", str(picture.figure.layout.xaxis.title.text))
    assert castings is not None
    assert figure_of(castings[1]) == pytest.approx(np.mean(money(policy, item="castings")), abs=0.0075)


@pytest.mark.parametrize("policy", POLICIES)
def test_an_amount_is_opened_to_quantity_price_and_money(seen: CloseLook, policy: str) -> None:
    sheet = money_view.composition_sheet(seen, policy, LINE, "Op 60", "new cutters")
    whats, causes = column(sheet, "what"), column(sheet, "cause")
    assert set(column(sheet, "where")) == {"Op 60 (bore cylinders)"}
    assert set(column(sheet, "item")) == {"new cutters"}
    for at, (what, cause) in enumerate(zip(whats, causes, strict=True)):
        wanted = {"operation": "Op 60", "item": "new cutters", "what": what, "cause": cause}
        amounts = money(policy, **wanted)
        counts = []
        for each in runs(policy):
            rows = each.ledger.loc[(each.ledger[list(wanted)] == pd.Series(wanted)).all(axis=1)]
            counts.append(float(rows["quantity"].sum()) / float(each.tally.shipped[0]))
        count, price, amount = (
            column(sheet, head)[at]
            for head in ("of it per good part", f"mean price, {WORKS.currency}", f"{WORKS.currency} per part")
        )
        assert is_shown_as(count, float(np.mean(counts)))
        assert is_shown_as(price, WORKS.cutters[what].price)
        assert figure_of(amount) == pytest.approx(np.mean(amounts), abs=0.01)


def test_two_policies_stand_in_their_own_columns_and_the_difference_is_the_first_less_the_second(
    seen: CloseLook,
) -> None:
    first, second = POLICIES
    picture = money_view.between_picture(seen, first, second, LINE)
    rows = zip(*(column(picture.sheet, head) for head in ("where", "item", "cause", first, second, "difference")),
               strict=True)  # fmt: skip
    for where, item, shown_cause, one, other, difference in rows:
        cause = re.sub(r" \((starved|blocked)\)$", "", shown_cause)
        own = [float(np.mean(money(name, operation=key_of(where), item=item, cause=cause))) for name in POLICIES]
        assert is_shown_as(one, own[0], ROUNDED)
        assert is_shown_as(other, own[1], ROUNDED)
        assert is_shown_as(difference, own[0] - own[1], 2 * ROUNDED)
    (bars,) = picture.figure.data
    for name, shown in zip(bars.hovertext, bars.x, strict=True):
        where, _, item = name.rpartition(": ")
        own = [float(np.mean(money(policy, operation=key_of(where), item=item))) for policy in POLICIES]
        assert shown == pytest.approx(own[0] - own[1], abs=2e-3)


INCH = {"mm": ("in", 1.0 / 25.4), "µm": ("µin", 1000.0 / 25.4)}


@pytest.mark.parametrize("system", ["metric", "inch"])
@pytest.mark.parametrize("policy", POLICIES)
def test_each_characteristic_has_its_limits_spread_and_capability(seen: CloseLook, policy: str, system: System) -> None:
    picture = drawing_view.drawing_picture(seen, policy, LINE, system)
    sheet = picture.sheet
    tables = [each.characteristics.set_index(["feature", "characteristic"]) for each in runs(policy)]
    keys = list(zip(column(sheet, "feature"), column(sheet, "what"), strict=True))
    assert keys == list(tables[0].index)

    def mean(name: str, factor: float = 1.0) -> list[float]:
        return [factor * float(np.nanmean([table.at[key, name] for table in tables]))
                if any(table.at[key, name] == table.at[key, name] for table in tables) else math.nan
                for key in keys]  # fmt: skip

    units = [str(tables[0].at[key, "unit"]) for key in keys]
    shown = [INCH[unit] if system == "inch" else (unit, 1.0) for unit in units]
    assert column(sheet, "unit") == [unit for unit, _ in shown]
    for head, name in (("lower", "lower"), ("upper", "upper"), ("mean", "mean"), ("s", "sd")):
        assert_column(sheet, head, [value * factor for value, (_, factor) in zip(mean(name), shown, strict=True)])
    assert_columns(sheet, {"Cp": mean("cp"), "Cpk": mean("cpk"), f"loss, {WORKS.currency}": mean("loss_per_part")})
    out = [100.0 * (below + above) for below, above in zip(
        [0.0 if math.isnan(value) else value for value in mean("share_below")],
        [0.0 if math.isnan(value) else value for value in mean("share_above")], strict=True)]  # fmt: skip
    assert_column(sheet, "% out", out)
    widths = [mean_and_width([float(table.at[key, "cpk"]) for table in tables])[1] for key in keys]
    assert_column(sheet, "Cpk", mean("cpk"), widths)
    (points,) = picture.figure.data
    for x, spread, lower, upper, middle, sd in zip(
        points.x, points.error_x.array, mean("lower"), mean("upper"), mean("mean"), mean("sd"), strict=True
    ):
        centre, half = (0.0, upper) if math.isnan(lower) else ((lower + upper) / 2.0, (upper - lower) / 2.0)
        assert x == pytest.approx(100.0 * (middle - centre) / half)
        assert spread == pytest.approx(300.0 * sd / half)
    assert picture.sheet.frame["mean"].to_list() == pytest.approx(mean("mean"), nan_ok=True)


@pytest.mark.parametrize("policy", POLICIES)
def test_gauges_have_the_counts_of_all_runs(seen: CloseLook, policy: str) -> None:
    sheet = drawing_view.gauge_sheet(seen, policy, LINE)
    sums = pd.concat([each.gauges for each in runs(policy)]).groupby(["operation", "gauge", "feature"], sort=False)[
        ["readings", "bad_turned_down", "bad_passed", "good_turned_down", "corrections"]
    ].sum()  # fmt: skip
    after = map(key_of, column(sheet, "after"))
    assert list(zip(after, column(sheet, "gauge"), column(sheet, "reads"), strict=True)) == list(sums.index)
    for head, name in (("readings", "readings"), ("bad, caught", "bad_turned_down"), ("bad, missed", "bad_passed"),
                       ("good, turned down", "good_turned_down"), ("offsets set", "corrections")):  # fmt: skip
        assert_column(sheet, head, sums[name].astype(float))
    bad = sums["bad_turned_down"] + sums["bad_passed"]
    for cell, caught, all_bad in zip(column(sheet, "caught, %"), sums["bad_turned_down"], bad, strict=True):
        assert is_shown_as(cell, 100.0 * caught / all_bad) if all_bad else cell == "no bad one read"


def test_in_the_engine_sizes_become_clearance_ratio_and_run_out(seen: CloseLook) -> None:
    policy, cylinder, piston = POLICIES[1], Cylinder(88.0, 100.0, 17.0), 87.93
    tables = [each.characteristics.set_index(["feature", "characteristic"]) for each in runs(policy)]
    for system, unit, factor in (("metric", "mm", 1.0), ("inch", "in", 1.0 / 25.4)):
        row = {name: (shown, more) for name, shown, more in
               drawing_view.engine_row(seen, policy, LINE, cylinder, piston, system)}  # fmt: skip
        bore = float(np.mean([table.at[("cylinder bores", "size"), "mean"] for table in tables]))
        shown, more = row["cylinder bores: piston clearance"]
        assert is_shown_as(shown, (bore - piston) * factor)
        assert shown.endswith(unit)
        sd = float(np.mean([table.at[("cylinder bores", "size"), "sd"] for table in tables]))
        low, high = re.fullmatch(r"95 in 100 from (\S+) to (\S+)", more).groups()  # type: ignore[union-attr]
        assert figure_of(low) == pytest.approx((bore - piston - 1.96 * sd) * factor, abs=1e-4)
        assert figure_of(high) == pytest.approx((bore - piston + 1.96 * sd) * factor, abs=1e-4)


@pytest.fixture(scope="module")
def trailed() -> WearTrail:
    return trail(changed(WORKS, {"run": {"length": 5 * 480.0}}), POLICIES[1])


@pytest.mark.parametrize(("system", "unit", "factor"), [("metric", "µm", 1.0), ("inch", "µin", 1000.0 / 25.4)])
@pytest.mark.parametrize("value", ["error_um", "ra_um"])
def test_the_life_of_an_edge_is_drawn_as_it_was_measured(
    trailed: WearTrail, value: str, system: System, unit: str, factor: float
) -> None:
    picture = drawing_view.life_picture(trailed, LINE, "top face", value, system)
    own = trailed.values[trailed.values["feature"] == "top face"]
    points, means = picture.figure.data
    assert list(points.x) == own["parts_since_change"].to_list()
    assert list(points.y) == pytest.approx((own[value] * factor).to_list())
    for cells, middle, mean in zip(picture.sheet.rows, means.x, means.y, strict=True):
        first, last = (int(text) for text in text_of(cells[0]).split(" to "))
        inside = own[own["parts_since_change"].between(first, last)][value] * factor
        assert (middle, mean) == pytest.approx(((first + last) / 2.0, inside.mean()))
        assert int(text_of(cells[1])) == len(inside)
        assert is_shown_as(text_of(cells[2]), inside.mean())
        assert is_shown_as(text_of(cells[3]), inside.std())
    assert str(picture.figure.layout.yaxis.title.text).endswith(f", {unit}")
    feature = WORKS.lines[LINE].features["top face"]
    limits = [shape.y0 for shape in picture.figure.layout.shapes]
    if value == "ra_um":
        assert limits == pytest.approx([limit * factor for limit in feature.roughness.limits])  # type: ignore[union-attr]
    else:
        assert limits[1] - limits[0] == pytest.approx(
            (feature.size.limits[1] - feature.size.limits[0]) * 1000.0 * factor  # type: ignore[union-attr]
        )
