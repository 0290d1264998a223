"""The tool room's plan in sentences."""

from __future__ import annotations

from collections.abc import Iterator

from linesim.study.advice.words import rounded
from linesim.study.comparing.words import first_of
from linesim.study.toolroom.figures import ToolRoomFigures

__all__ = ["BASIS", "first_words", "sentences_of"]

_FULL = 1.0

BASIS = (
    "A band holds nine runs in ten of that week; what is ordered is enough in 19 runs of 20.",
    "Nothing is taken to be on order but what the scenario says of how the works stands now.",
    "Lead times are counted in worked weeks; a part of one is a whole one.",
    "Tool grinders only grind here; whoever sharpens by hand, presets or carries sets needs his hours beside these.",
)
"""What the plan rests on."""


def first_words(plan: ToolRoomFigures) -> Iterator[str]:
    """What is wrong: machines that wait for sharp sets, grinders that do not get through."""
    short = plan.sets[plan.sets["is_short"]] if len(plan.sets) else plan.sets
    if len(short):
        named = [f"{row['cutter']} ({row['waited_min']:.0f} min a week)" for row in short.to_dict(orient="records")]
        yield f"Machines wait for sharp sets: {first_of(named)}; one more of each may pay."
    full = plan.weeks[plan.weeks["grinder_h_high"] >= _FULL * plan.hours_staffed]
    if len(full) and plan.weeks["grinder_h"].max() > 0.0:
        weeks = first_of([str(week) for week in full["week"].tolist()])
        yield f"The tool grinders may not get through in week {weeks}: all their hours can be taken up."


def sentences_of(plan: ToolRoomFigures) -> Iterator[str]:
    """The plan in words: what is wrong, the grinders, the sets, the orders, the money."""
    yield from first_words(plan)
    yield _grinders(plan)
    spare = plan.sets[(plan.sets["spare"] > 0) & ~plan.sets["is_short"]] if len(plan.sets) else plan.sets
    if len(spare):
        named = [f"{row['spare']} of {row['cutter']}" for row in spare.to_dict(orient="records")]
        yield f"Always on the shelf, in 19 runs of 20: {first_of(named)}."
    yield _orders(plan)
    cost = f"{rounded(float(plan.weeks['cost'].mean()), 0.0)} {plan.works.currency}"
    yield f"New cutters, regrinds and renewing in place cost {cost} a week in the mean."


def _grinders(plan: ToolRoomFigures) -> str:
    weeks = plan.weeks
    if not weeks["grinder_h"].max() > 0.0:
        return "Nothing comes to the tool grinders in these weeks."
    fullest = max(weeks.to_dict(orient="records"), key=lambda row: float(row["grinder_h_high"]))
    return (
        f"The tool grinders are busy {weeks['grinder_h'].mean():.1f} of the {plan.hours_staffed:.0f} hours a week that "
        f"they are there; the fullest is week {fullest['week']} with up to {fullest['grinder_h_high']:.1f} hours."
    )


def _orders(plan: ToolRoomFigures) -> str:
    if not len(plan.orders):
        return "No new cutters have to be ordered in these weeks."
    now = plan.orders[plan.orders["order_in_week"] == 1].to_dict(orient="records")
    later = plan.orders[plan.orders["order_in_week"] > 1]
    named = [f"{row['sets']} of {row['cutter']}" for row in now]
    first = f"Order now: {first_of(named)}." if now else ""
    then = f"The next order goes out in week {later['order_in_week'].min()}." if len(later) else ""
    return " ".join(text for text in (first or "Nothing has to be ordered now.", then) if text)
