"""The tool room's plan as a sheet for paper."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date

from linesim.report.page.made import made_values
from linesim.report.page.paper_page import PaperPage, paper_html
from linesim.report.theme.grid import chunks
from linesim.report.theme.markup import Cell, numbers
from linesim.report.theme.pieces import Bullets, Section, Sketch, Table
from linesim.report.theme.shown import UNKNOWN, number
from linesim.report.theme.sketch import Bar, bars
from linesim.study.toolroom.answer import ToolRoomPlan
from linesim.study.toolroom.words import BASIS, first_words, further_words
from linesim.words import retell, say
from linesim.works import digest

__all__ = ["toolroom_page"]

_WEEKS_ACROSS = 13


def toolroom_page(plan: ToolRoomPlan, today: date, paper: str = "A4") -> str:
    """The plan as one self-contained HTML page, for paper.

    Parameters
    ----------
    plan : ToolRoomPlan
        What to show.
    today : datetime.date
        When it is made.
    paper : {"A4", "Letter"}
        On which it is printed.

    Returns
    -------
    str
    """
    answer, *others = further_words(plan)
    page = PaperPage(
        kind=say("toolroom.kind", count=plan.n_weeks),
        title=plan.works.name,
        whose=say("sheet.policy", policy=plan.policy),
        first=tuple(first_words(plan)),
        answer=answer,
        sentences=others,
        sections=list(_sections(plan)),
        signatures=(),
        origin=say("toolroom.made", runs=plan.n_replications, seed=plan.seed, **made_values(digest(plan.works), today)),
    )
    return paper_html(page, paper)


def _sections(plan: ToolRoomPlan) -> Iterator[Section]:
    rows = plan.weeks.to_dict(orient="records")
    picture = bars(
        [Bar(str(row["week"]), row["grinder_h"], row["grinder_h_low"], row["grinder_h_high"]) for row in rows],
        plan.hours_staffed,
        say("toolroom.hours_there"),
    )
    yield Section(say("toolroom.weeks"), [Sketch(picture, say("toolroom.picture")), _weeks(plan)])
    if len(plan.orders):
        yield Section(say("toolroom.orders"), _orders(plan))
    yield Section(say("toolroom.sets"), [_sets(plan)])
    yield Section(say("sheet.rests_on"), [Bullets([retell(text) for text in BASIS])])


def _weeks(plan: ToolRoomPlan) -> Table:
    names = ("changes", "regrinds", "used_up", "grinder_hours", "of_there", "cost")
    heads = [say("toolroom.week"), *_heads(*names, currency=plan.works.currency)]
    rows: list[list[Cell]] = []
    for row in plan.weeks.to_dict(orient="records"):
        load = UNKNOWN if row["load_share"] != row["load_share"] else number(100.0 * row["load_share"], 0)
        counts = (_band(row, name, 0) for name in ("changes", "regrinds", "used_up"))
        rows.append([str(row["week"]), *numbers(*counts, _band(row, "grinder_h", 1), load, _band(row, "cost", 0))])
    return Table(say("toolroom.weeks_caption"), heads, rows)


def _heads(*names: str, **values: object) -> list[Cell]:
    """Heads of columns of figures."""
    return numbers(*(say(f"toolroom.{name}", **values) for name in names))


def _band(row: dict[object, float], name: str, decimals: int) -> str:
    low, high = number(row[f"{name}_low"], decimals), number(row[f"{name}_high"], decimals)
    return f"{number(row[name], decimals)} ({low}–{high})"


def _orders(plan: ToolRoomPlan) -> list[Table]:
    """Sets to order at the beginning of each week, so many weeks side by side."""
    tables = []
    for weeks in chunks([str(week) for week in range(1, plan.n_weeks + 1)], _WEEKS_ACROSS):
        of_week = plan.orders[plan.orders["order_in_week"].isin([int(week) for week in weeks])]
        costs = of_week.groupby("order_in_week")["cost"].sum().to_dict()
        rows: list[list[Cell]] = [
            [name, *numbers(*(str(of.get(int(week), "")) for week in weeks))]
            for name, of in plan.orders_by_kind.items()
        ]
        foot: list[Cell] = [plan.works.currency, *numbers(*(number(costs.get(int(week), 0.0), 0) for week in weeks))]
        tables.append(Table(say("toolroom.orders_caption"), [say("toolroom.week"), *numbers(*weeks)], rows, foot))
    return tables


def _sets(plan: ToolRoomPlan) -> Table:
    names = ("count", "out", "wait", "changes_a_week", "regrinds_a_week", "used_a_week", "lead")
    heads = [say("toolroom.cutter_set"), *_heads(*names)]
    rows: list[list[Cell]] = [
        [
            str(row["cutter"]),
            *numbers(
                str(row["sets"]), _out(row["out_at_most"], row["is_short"]),
                number(row["waited_min"], 0), *(number(row[name], 1) for name in ("changes", "regrinds", "used_up")),
                number(row["lead_weeks"], 1),
            ),
        ]
        for row in plan.sets.to_dict(orient="records")
    ]  # fmt: skip
    return Table(say("toolroom.sets_caption"), heads, rows)


def _out(count: int, is_short: bool) -> str:
    """Sets that are out at once, with a word where they are too few."""
    return say("toolroom.too_few", count=count) if is_short else str(count)
