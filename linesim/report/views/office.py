"""What the dashboard shows of the sheets that are carried away: the brief, the tool room, other systems, approvals."""

from __future__ import annotations

from collections.abc import Hashable, Mapping, Sequence
from datetime import date
from numbers import Real
from typing import Any

import numpy as np
import pandas as pd

from linesim.report.terminal.approvals import approval_state
from linesim.report.theme.markup import Cell, numbers
from linesim.report.theme.picture import Sheet
from linesim.report.theme.shown import UNKNOWN, day_words, number, within
from linesim.report.views.advice import why_sheet
from linesim.store.approvals import Approval, in_force
from linesim.store.card_state import CardState
from linesim.study.advice.brief import Brief
from linesim.study.handover.study import Handover
from linesim.study.toolroom.answer import ToolRoomPlan
from linesim.words import keep, listed_words, retell, say
from linesim.works import Works
from linesim.works.doing import called_at

__all__ = [
    "approvals_sheet", "brief_texts", "cards_sheet", "gain_sheet", "indicators_sheet", "intervals_sheet",
    "not_given_sheet", "orders_sheet", "room_sets_sheet", "tools_sheet", "weeks_sheet",
]  # fmt: skip


_MOST_WEEKS = 13


def brief_texts(brief: Brief) -> list[tuple[str, list[str]]]:
    """The brief's sections: a heading and its lines; those without a line are left out."""
    chosen = brief.chosen
    moves = () if chosen is None else chosen.moves
    changes = [each.label for each in brief.advice.actions if each.moves[0] in moves]
    parts = [
        (say("brief.change"), changes),
        (say("brief.costs"), list(brief.costs)),
        (say("brief.wrong"), list(brief.doubts)),
        (say("brief.first_week" if chosen is not None else "brief.now"), list(brief.steps)),
    ]
    return [(head, [retell(text) for text in texts]) for head, texts in parts if texts]


def gain_sheet(brief: Brief) -> Sheet | None:
    """Before and after of what is proposed; None if nothing is."""
    chosen = brief.chosen
    return None if chosen is None else why_sheet(chosen, brief.advice.each_confidence)


def weeks_sheet(plan: ToolRoomPlan) -> Sheet:
    """The weeks, mean and band."""
    counts = (say(f"toolroom.{name}") for name in ("changes", "regrinds", "head_used_up", "head_grinder", "of_there"))
    heads = [say("toolroom.week"), *numbers(*counts, say("toolroom.cost", currency=plan.works.currency))]
    rows: list[list[Cell]] = []
    for row in plan.weeks.to_dict(orient="records"):
        load = UNKNOWN if row["load_share"] != row["load_share"] else number(100.0 * row["load_share"], 0)
        bands = (_band(row, name, 0) for name in ("changes", "regrinds", "used_up"))
        rows.append([str(row["week"]), *numbers(*bands, _band(row, "grinder_h", 1), load, _band(row, "cost", 0))])
    return Sheet(say("toolroom.weeks_sheet"), heads, rows, plan.weeks)


def room_sets_sheet(plan: ToolRoomPlan) -> Sheet:
    """Sets in circulation."""
    names = ("count", "out_at_most", "wait", "changes_a_week", "regrinds_a_week", "used_a_week", "lead")
    heads = [say("toolroom.cutter_set"), *numbers(*(say(f"toolroom.{name}") for name in names))]
    rows: list[list[Cell]] = [
        [
            str(row["cutter"]),
            *numbers(
                str(row["sets"]), _out(row),
                number(row["waited_min"], 0), *(number(row[name], 1) for name in ("changes", "regrinds", "used_up")),
                number(row["lead_weeks"], 1),
            ),
        ]
        for row in plan.sets.to_dict(orient="records")
    ]  # fmt: skip
    return Sheet(say("toolroom.sets_sheet"), heads, rows, plan.sets)


def _out(row: Mapping[Hashable, Any]) -> str:
    """Sets that are out at once at the most, and whether they are too few."""
    count = str(row["out_at_most"])
    return say("toolroom.too_few", count=count) if row["is_short"] else count


def orders_sheet(plan: ToolRoomPlan) -> Sheet:
    """New cutters to order at the beginning of each week; the file has all weeks, with the money."""
    weeks = list(range(1, min(plan.n_weeks, _MOST_WEEKS) + 1))
    heads = [say("toolroom.cutter_set"), *numbers(*(say("toolroom.week_no", week=week) for week in weeks))]
    rows: list[list[Cell]] = [
        [name, *numbers(*(str(of.get(week, "")) for week in weeks))] for name, of in plan.orders_by_kind.items()
    ]
    costs = plan.orders.groupby("order_in_week")["cost"].sum().to_dict()
    foot: list[Cell] = [plan.works.currency, *numbers(*(number(costs.get(week, 0.0), 0) for week in weeks))]
    return Sheet(say("toolroom.orders_sheet"), heads, rows, plan.orders, foot)


def _band(row: Mapping[object, float], name: str, decimals: int) -> str:
    low, high = number(row[f"{name}_low"], decimals), number(row[f"{name}_high"], decimals)
    return say("format.banded", middle=number(row[name], decimals), low=low, high=high)


def indicators_sheet(answer: Handover) -> Sheet:
    """The indicators of the lines; the file has those of the machines as well."""
    of_lines = answer.indicators[answer.indicators["level"] == "line"]
    rows: list[list[Cell]] = [
        [str(row["indicator"]), str(row["line"]), *numbers(within(row["value"], row["half_width"], 3)),
         str(row["unit"]), str(row["formula"])]
        for row in of_lines.to_dict(orient="records")
    ]  # fmt: skip
    heads = ["indicator", "line", *numbers("mean ± half the interval"), "unit", "formula"]
    return Sheet("Indicators of ISO 22400-2, of each line", heads, rows, answer.indicators)


def intervals_sheet(answer: Handover) -> Sheet:
    """When each set is changed, with the number of its card."""
    return _plain("When each set is changed", answer.tables["intervals"])


def tools_sheet(answer: Handover) -> Sheet:
    """The cutters' data; columns as the table of properties says."""
    return _plain("Data of the cutters, under the symbols of ISO 13399 where one is known", answer.tables["tools"])


def not_given_sheet(answer: Handover) -> Sheet:
    """Indicators that cannot be known here."""
    return _plain("Indicators that are not given", answer.tables["not_given"])


def _plain(caption: str, frame: pd.DataFrame) -> Sheet:
    """A table as it stands, with its columns' names as heads."""
    columns = [[_text(value) for value in frame[name]] for name in frame]
    kinds = [_is_number(frame[name]) for name in frame]
    words = [str(name).replace("_", " ") for name in frame]
    heads: list[Cell] = [(head, "n") if is_number else head for head, is_number in zip(words, kinds, strict=True)]
    rows: list[list[Cell]] = [
        [(text, "n") if is_number else text for text, is_number in zip(row, kinds, strict=True)]
        for row in zip(*columns, strict=True)
    ]
    return Sheet(caption, heads, rows, frame)


def _is_number(column: pd.Series[Any]) -> bool:
    known = column.dropna()
    return len(known) > 0 and all(isinstance(value, Real) and not isinstance(value, bool) for value in known)


def _text(value: Any) -> str:
    if isinstance(value, (bool, np.bool_)):
        return "yes" if value else "no"
    if value is None or value != value:  # noqa: PLR0124 - which NaN is not
        return UNKNOWN
    return f"{value:g}" if isinstance(value, float) else str(value)


def approvals_sheet(known: Sequence[Approval], works_name: str, day: date) -> Sheet:
    """Who proposed, who approved, from when, and what was replaced.

    Parameters
    ----------
    known : sequence of Approval
        Of one works.
    works_name : str
        Of which.
    day : datetime.date
        On which it is asked.
    """
    holds = in_force(known, works_name, day)
    names = ("number", "revision", "replaces", "policy", "proposed_by", "why", "approved_by", "from", "review", "state")
    shown = [say(f"approval.head_{name}") for name in names]
    heads = [*numbers(*shown[:3]), *shown[3:]]
    rows: list[list[Cell]] = [
        [
            *numbers(*map(_known, (each.number, each.revision, each.replaces))), each.policy,
            _proposed(each), each.why, each.approved_by or UNKNOWN,
            *map(_day, (each.valid_from, each.review)), retell(approval_state(each, holds, day)),
        ]
        for each in known
    ]  # fmt: skip
    frame = pd.DataFrame([vars(each) | {"cards": len(each.cards)} for each in known])
    return Sheet(say("approval.sheet", works=works_name), heads, rows, frame)


def _known(value: object) -> str:
    return UNKNOWN if value is None else str(value)


def _proposed(each: Approval) -> str:
    """Who proposed it, and when."""
    return listed_words([each.proposed_by, day_words(date.fromisoformat(each.proposed_at[:10]))])


def _day(day: date | None) -> str:
    return UNKNOWN if day is None else day_words(day)


def cards_sheet(works: Works, numbers_of: Mapping[str, str], states: Mapping[str, CardState]) -> Sheet:
    """The cards of a policy, and how each stands to what has been approved."""
    words = {at: states[at].words if at in states else keep("approval.nothing") for at in numbers_of}
    called = {at: _called(works, at) for at in numbers_of}
    rows: list[list[Cell]] = [[called[at], card, retell(words[at])] for at, card in numbers_of.items()]
    frame = pd.DataFrame([(at, card, words[at]) for at, card in numbers_of.items()], columns=["at", "card", "state"])
    head = say("cards.head_operation" if len(works.lines) == 1 else "cards.head_at")
    return Sheet(say("cards.sheet"), [head, say("cards.head_card"), say("cards.head_state")], rows, frame)


def _called(works: Works, at: str) -> str:
    """Where a card hangs: the operation by what it does, with its line where there are several."""
    for line, of in works.lines.items():
        operation = at.removeprefix(f"{line} / ")
        if operation in of.operations and at == f"{line} / {operation}":
            name = retell(called_at(works, line, operation))
            return name if len(works.lines) == 1 else f"{line} / {name}"
    return at
