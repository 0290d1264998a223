"""The tool room's plan as a sheet for paper."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date

from linesim import __version__
from linesim.report.page.paper_page import PaperPage, paper_html
from linesim.report.theme.grid import chunks
from linesim.report.theme.markup import Cell, numbers
from linesim.report.theme.pieces import Bullets, Section, Sketch, Table
from linesim.report.theme.shown import UNKNOWN, number
from linesim.report.theme.sketch import Bar, bars
from linesim.study.toolroom.answer import ToolRoomPlan
from linesim.study.toolroom.words import BASIS, first_words
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
    first = tuple(first_words(plan))
    answer, *others = (text for text in plan.sentences if text not in first)
    page = PaperPage(
        kind=f"The tool room's plan for {plan.n_weeks} weeks",
        title=plan.works.name,
        whose=f'Policy "{plan.policy}"',
        first=first,
        answer=answer,
        sentences=others,
        sections=list(_sections(plan)),
        signatures=(),
        origin=f"Made {today:%Y-%m-%d} by linesim {__version__} from scenario {digest(plan.works)[:10]}, "
        f"{plan.n_replications} runs, seed {plan.seed}.",
    )
    return paper_html(page, paper)


def _sections(plan: ToolRoomPlan) -> Iterator[Section]:
    rows = plan.weeks.to_dict(orient="records")
    picture = bars(
        [Bar(str(row["week"]), row["grinder_h"], row["grinder_h_low"], row["grinder_h_high"]) for row in rows],
        plan.hours_staffed,
        "hours there",
    )
    caption = (
        "Hours of the tool grinders by week: bars the mean, upright lines between what nine runs in ten lie, dashed "
        "the hours that they are there."
    )
    yield Section("Week by week", [Sketch(picture, caption), _weeks(plan)])
    if len(plan.orders):
        yield Section("New cutters to order", _orders(plan))
    yield Section("Cutter sets in circulation", [_sets(plan)])
    yield Section("What this rests on", [Bullets(BASIS)])


def _weeks(plan: ToolRoomPlan) -> Table:
    heads = ["week", *numbers("changes", "regrinds", "sets used up", "grinder hours", "of those there, %")]
    heads += numbers(f"cost, {plan.works.currency}")
    rows: list[list[Cell]] = []
    for row in plan.weeks.to_dict(orient="records"):
        load = UNKNOWN if row["load_share"] != row["load_share"] else number(100.0 * row["load_share"], 0)
        counts = (_band(row, name, 0) for name in ("changes", "regrinds", "used_up"))
        rows.append([str(row["week"]), *numbers(*counts, _band(row, "grinder_h", 1), load, _band(row, "cost", 0))])
    return Table("Mean, and in brackets between what nine runs in ten lie", heads, rows)


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
        tables.append(
            Table("Sets, by the week at whose beginning they are ordered", ["week", *numbers(*weeks)], rows, foot)
        )
    return tables


def _sets(plan: ToolRoomPlan) -> Table:
    heads = ["cutter set", *numbers("sets", "out at once at most", "machines wait, min a week", "changes a week")]
    heads += numbers("regrinds a week", "used up a week", "lead time, weeks")
    rows: list[list[Cell]] = [
        [
            str(row["cutter"]),
            *numbers(
                str(row["sets"]), f"{row['out_at_most']}{', too few' if row['is_short'] else ''}",
                number(row["waited_min"], 0), *(number(row[name], 1) for name in ("changes", "regrinds", "used_up")),
                number(row["lead_weeks"], 1),
            ),
        ]
        for row in plan.sets.to_dict(orient="records")
    ]  # fmt: skip
    caption = "Out: mounted, dull, in the grinding or on order, at the worst moment in 19 runs of 20"
    return Table(caption, heads, rows)
