"""The tool room's plan for the terminal."""

from __future__ import annotations

from rich.console import Group, RenderableType
from rich.padding import Padding
from rich.text import Text

from linesim.report.theme.grid import Column, grid, number_columns, plain
from linesim.report.theme.shown import UNKNOWN, number
from linesim.study.toolroom.answer import ToolRoomPlan
from linesim.study.toolroom.words import BASIS, sentences_of
from linesim.words import retell, say

__all__ = ["toolroom_text"]

_MOST_WEEKS = 12


def toolroom_text(plan: ToolRoomPlan) -> Group:
    """The plan laid out for a terminal of 100 columns.

    Parameters
    ----------
    plan : ToolRoomPlan
        What to show.

    Returns
    -------
    rich.console.Group
    """
    head = Text.assemble((say("toolroom.under", works=plain(plan.works.name), policy=plain(plan.policy)), "bold"))
    for sentence in sentences_of(plan):
        head.append(f"\n{plain(sentence)}")
    parts: list[RenderableType] = [head, _weeks(plan), _sets(plan)]
    parts += [_orders(plan)] if len(plan.orders) else []
    parts.append(Text("\n".join((_runs(plan), *map(retell, BASIS))), style="dim"))
    return Group(*(Padding(part, (0, 0, 1, 0)) for part in parts))


def _runs(plan: ToolRoomPlan) -> str:
    return say("toolroom.runs", runs=plan.n_replications, seed=plan.seed)


def _weeks(plan: ToolRoomPlan) -> RenderableType:
    """Means with their bands."""
    names = ("week", "changes", "regrinds", "head_used_up", "head_grinder_h")
    heads = [say(f"toolroom.{name}") for name in names]
    columns = number_columns(*heads, say("toolroom.head_of_hours", hours=plan.hours_staffed), plan.works.currency)
    rows = [
        [
            str(row["week"]),
            *(_band(row, name, 0) for name in ("changes", "regrinds", "used_up")),
            _band(row, "grinder_h", 1),
            UNKNOWN if row["load_share"] != row["load_share"] else f"{number(100.0 * row['load_share'], 0)} %",
            _band(row, "cost", 0),
        ]
        for row in plan.weeks.to_dict(orient="records")
    ]
    return grid(say("toolroom.by_week"), columns, rows)


def _band(row: dict[object, float], name: str, decimals: int) -> str:
    low, high = number(row[f"{name}_low"], decimals), number(row[f"{name}_high"], decimals)
    return say("format.banded", middle=number(row[name], decimals), low=low, high=high)


def _sets(plan: ToolRoomPlan) -> RenderableType:
    """Sets in circulation."""
    names = ("count", "out_at_most", "head_waited", "changes_a_week", "regrinds", "head_used_up", "head_lead")
    heads = number_columns(*(say(f"toolroom.{name}") for name in names))
    columns = [Column(say("toolroom.cutter_set"), True, 26), *heads]
    rows = [
        [
            str(row["cutter"]), str(row["sets"]), f"{row['out_at_most']}{' !' if row['is_short'] else ''}",
            number(row["waited_min"], 0), *(number(row[name], 1) for name in ("changes", "regrinds", "used_up")),
            number(row["lead_weeks"], 1),
        ]
        for row in plan.sets.to_dict(orient="records")
    ]  # fmt: skip
    return grid(say("toolroom.sets_title"), columns, rows)


def _orders(plan: ToolRoomPlan) -> RenderableType:
    """What is ordered at the beginning of each week."""
    weeks = list(range(1, min(plan.n_weeks, _MOST_WEEKS) + 1))
    columns = [Column(say("toolroom.head_order"), True, 30), *number_columns(*map(str, weeks))]
    rows = [[name, *(str(of.get(week, "")) for week in weeks)] for name, of in plan.orders_by_kind.items()]
    return grid(say("toolroom.orders_title"), columns, rows)
