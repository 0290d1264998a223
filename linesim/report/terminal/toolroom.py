"""The tool room's plan for the terminal."""

from __future__ import annotations

from rich.console import Group, RenderableType
from rich.padding import Padding
from rich.text import Text

from linesim.report.theme.grid import Column, grid, number_columns, plain
from linesim.report.theme.shown import UNKNOWN, number
from linesim.study.toolroom.answer import ToolRoomPlan
from linesim.study.toolroom.words import BASIS

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
    head = Text.assemble((f'{plain(plan.works.name)}: the tool room under policy "{plain(plan.policy)}"', "bold"))
    for sentence in plan.sentences:
        head.append(f"\n{plain(sentence)}")
    parts: list[RenderableType] = [head, _weeks(plan), _sets(plan)]
    parts += [_orders(plan)] if len(plan.orders) else []
    parts.append(Text("\n".join((_runs(plan), *BASIS)), style="dim"))
    return Group(*(Padding(part, (0, 0, 1, 0)) for part in parts))


def _runs(plan: ToolRoomPlan) -> str:
    return f"{plan.n_replications} runs of the coming weeks, seed {plan.seed}."


def _weeks(plan: ToolRoomPlan) -> RenderableType:
    """Means with their bands."""
    columns = number_columns("week", "changes", "regrinds", "used up", "grinder h", f"of {plan.hours_staffed:.0f} h")
    columns += [Column(plan.works.currency)]
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
    return grid("By week: the mean, and between what nine runs in ten lie", columns, rows)


def _band(row: dict[object, float], name: str, decimals: int) -> str:
    low, high = number(row[f"{name}_low"], decimals), number(row[f"{name}_high"], decimals)
    return f"{number(row[name], decimals)} ({low} to {high})"


def _sets(plan: ToolRoomPlan) -> RenderableType:
    """Sets in circulation."""
    columns = [Column("cutter set", True, 26), *number_columns("sets", "out at most", "waited min/week")]
    columns += number_columns("changes a week", "regrinds", "used up", "lead weeks")
    rows = [
        [
            str(row["cutter"]), str(row["sets"]), f"{row['out_at_most']}{' !' if row['is_short'] else ''}",
            number(row["waited_min"], 0), *(number(row[name], 1) for name in ("changes", "regrinds", "used_up")),
            number(row["lead_weeks"], 1),
        ]
        for row in plan.sets.to_dict(orient="records")
    ]  # fmt: skip
    return grid("Sets in circulation (! machines wait for them)", columns, rows)


def _orders(plan: ToolRoomPlan) -> RenderableType:
    """What is ordered at the beginning of each week."""
    weeks = list(range(1, min(plan.n_weeks, _MOST_WEEKS) + 1))
    columns = [Column("order at the beginning of week", True, 30), *number_columns(*map(str, weeks))]
    rows = [[name, *(str(of.get(week, "")) for week in weeks)] for name, of in plan.orders_by_kind.items()]
    return grid("New cutters to order, sets", columns, rows)
