"""The tool room's plan in sentences."""

from __future__ import annotations

from collections.abc import Iterator

import pandas as pd

from linesim.study.advice.words import rounded
from linesim.study.comparing.words import first_of
from linesim.study.toolroom.figures import ToolRoomFigures
from linesim.words import keep, say

__all__ = ["BASIS", "first_words", "further_words", "sentences_of"]

_FULL = 1.0

BASIS: tuple[str, ...] = (
    keep("toolroom.basis_band"), keep("toolroom.basis_orders"), keep("toolroom.basis_lead"),
    keep("toolroom.basis_grinders"),
)  # fmt: skip
"""What the plan rests on."""


def first_words(plan: ToolRoomFigures) -> Iterator[str]:
    """What is wrong: machines that wait for sharp sets, grinders that do not get through."""
    short = plan.sets[plan.sets["is_short"]] if len(plan.sets) else plan.sets
    if len(short):
        named = [
            say("toolroom.short_set", cutter=row["cutter"], minutes=row["waited_min"])
            for row in short.to_dict(orient="records")
        ]
        yield say("toolroom.short", sets=first_of(named))
    full = plan.weeks[plan.weeks["grinder_h_high"] >= _FULL * plan.hours_staffed]
    if len(full) and plan.weeks["grinder_h"].max() > 0.0:
        yield say("toolroom.full", weeks=first_of([str(week) for week in full["week"].tolist()]))


def sentences_of(plan: ToolRoomFigures) -> Iterator[str]:
    """The plan in words: what is wrong, then what `further_words` says."""
    yield from first_words(plan)
    yield from further_words(plan)


def further_words(plan: ToolRoomFigures) -> Iterator[str]:
    """The grinders, the sets, the orders, the money."""
    yield _grinders(plan)
    spare = plan.sets[(plan.sets["spare"] > 0) & ~plan.sets["is_short"]] if len(plan.sets) else plan.sets
    if len(spare):
        yield say("toolroom.spare", sets=first_of(_counted(spare, "spare")))
    yield _orders(plan)
    yield say("toolroom.money", amount=rounded(float(plan.weeks["cost"].mean()), 0.0), currency=plan.works.currency)


def _counted(table: pd.DataFrame, count: str) -> list[str]:
    """Sets by number and name."""
    rows = table.to_dict(orient="records")
    return [say("toolroom.of_set", count=row[count], cutter=row["cutter"]) for row in rows]


def _grinders(plan: ToolRoomFigures) -> str:
    weeks = plan.weeks
    if not weeks["grinder_h"].max() > 0.0:
        return say("toolroom.no_grinding")
    fullest = max(weeks.to_dict(orient="records"), key=lambda row: float(row["grinder_h_high"]))
    return say(
        "toolroom.grinders", hours=weeks["grinder_h"].mean(), there=plan.hours_staffed, week=fullest["week"],
        most=fullest["grinder_h_high"],
    )  # fmt: skip


def _orders(plan: ToolRoomFigures) -> str:
    if not len(plan.orders):
        return say("toolroom.no_orders")
    now = plan.orders[plan.orders["order_in_week"] == 1]
    later = plan.orders[plan.orders["order_in_week"] > 1]
    sets = first_of(_counted(now, "sets")) if len(now) else ""
    first = say("toolroom.order_now", sets=sets) if len(now) else say("toolroom.order_nothing")
    then = say("toolroom.order_next", week=later["order_in_week"].min()) if len(later) else ""
    return " ".join(text for text in (first, then) if text)
