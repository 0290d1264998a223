"""What to do first, as a page shows it: the headline, an action in a row, and why it brings what it brings."""

from __future__ import annotations

from typing import Any

import pandas as pd

from linesim.report.theme.markup import Cell, element, numbers
from linesim.report.theme.picture import Sheet
from linesim.report.theme.shown import interval, number
from linesim.study.advice.advice import Advice
from linesim.study.advice.change import Change
from linesim.study.advice.figures import Proposal
from linesim.study.advice.remarks import STILL
from linesim.study.advice.words import amount_words, change_count_words, sure_words

__all__ = [
    "action_shown", "amount_shown", "change_sheet", "headline", "items_sheet", "last_words", "why_sheet", "why_words",
]  # fmt: skip

_NAMED = 3


def headline(advice: Advice) -> str:
    """The answer of the page; what is wrong as it is stands before it."""
    actions, both = advice.actions, advice.together
    first = "".join(f"{text} " for text in advice.first)
    if not actions:
        return f"{first}{advice.sentences[-1]}"
    if both is not None:
        text = f"{both.label}: {amount_words(both)} a month against today, {sure_words(both)}."
        return f"{first}{''.join(f'{remark} ' for remark in both.first if not remark.startswith(STILL))}{text}"
    best = actions[0]
    return f"{first}The first thing to do brings {amount_words(best)} a month against today, {sure_words(best)}."


def amount_shown(proposal: Proposal) -> list[tuple[str, str, str]]:
    """Money a month in a figure."""
    return [("a month", amount_words(proposal), sure_words(proposal))]


def action_shown(proposal: Proposal, number: str) -> str:
    """An action as HTML: what must be said first, what to do, what it costs beside, how far it stays right."""
    beside = change_count_words(proposal)
    return "".join(
        (
            *(element("p", text, "said-first") for text in proposal.first),
            element("h3", f"{number}{proposal.label}"),
            element("p", f"{beside[:1].upper()}{beside[1:]}." if beside else "", "note"),
            element("p", proposal.still_right, "note") if proposal.still_right else "",
        )
    )


def why_words(proposal: Proposal) -> str:
    """Which figures of the ledger bring it, the greatest first."""
    rows = [row for row in proposal.items.to_dict(orient="records") if row["is_apart"]][:_NAMED]
    if not rows:
        return "No single item of the ledger changes significantly; it is their sum that does."
    parts = [f"{row['item']} {_signed(row)} {proposal.currency} a month" for row in rows]
    return f"What changes most: {'; '.join(parts)}."


def _signed(row: dict[Any, Any]) -> str:
    sign = "+" if row["change"] >= 0.0 else ""
    return f"{sign}{interval(row['change'], row['half_width'])}"


def last_words(advice: Advice) -> str:
    """What stands beneath the actions: that nothing else is significant, or how far the study is."""
    if not advice.actions and not advice.is_final:
        return f"{advice.tried} changes have had a first look so far; which of them hold is being found out."
    return advice.sentences[-1] if advice.actions else ""


def why_sheet(proposal: Proposal, level: float) -> Sheet:
    """Before and after in all figures that count.

    Parameters
    ----------
    proposal : Proposal
        One that was judged in fresh runs.
    level : float
        Confidence of each interval.

    Returns
    -------
    Sheet
    """
    return _figures(proposal.figures, level)


def change_sheet(change: Change) -> Sheet:
    """A change just made, before and after."""
    return _figures(change.figures, change.confidence)


def _figures(figures: pd.DataFrame, level: float) -> Sheet:
    rows: list[list[Cell]] = []
    for row in figures.to_dict(orient="records"):
        change = _signed(row) if row["is_apart"] else f"{_signed(row)} ~"
        cells = numbers(number(row["before"]), number(row["after"]), change)
        rows.append([f"{row['figure']}, {row['unit']}", *cells])
    caption = f"Before and after, paired by replication; ± half the {100.0 * level:.3g} % interval; ~ not significant"
    return Sheet(caption, ["", *numbers("before", "after", "change")], rows, figures)


def items_sheet(proposal: Proposal) -> Sheet:
    """What the parts are worth and what each item of the ledger costs a month, before and after."""
    rows: list[list[Cell]] = []
    for row in proposal.items.to_dict(orient="records"):
        change = _signed(row) if row["is_apart"] else f"{_signed(row)} ~"
        rows.append([str(row["item"]), *numbers(number(row["before"], 0), number(row["after"], 0), change)])
    caption = f"{proposal.currency} a month; the worth less all costs is the contribution"
    return Sheet(caption, ["", *numbers("before", "after", "change")], rows, proposal.items)
