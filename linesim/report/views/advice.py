"""What to do first, as a page shows it: the headline, an action in a row, and why it brings what it brings."""

from __future__ import annotations

from typing import Any

import pandas as pd

from linesim.report.theme.markup import Cell, element, numbers
from linesim.report.theme.picture import Sheet
from linesim.report.theme.shown import interval, number
from linesim.study.advice.advice import Advice
from linesim.study.advice.brief import item_said
from linesim.study.advice.change import Change
from linesim.study.advice.figures import Proposal
from linesim.study.advice.remarks import STILL
from linesim.study.advice.words import amount_words, change_count_words, sure_words
from linesim.words import begun, in_a_row, keep, retell, say

__all__ = [
    "action_shown", "amount_shown", "change_sheet", "headline", "items_sheet", "last_words", "why_sheet", "why_words",
]  # fmt: skip

_NAMED = 3


def headline(advice: Advice) -> str:
    """The answer of the page; what is wrong as it is stands before it."""
    actions, both = advice.actions, advice.together
    if not actions:
        return retell(in_a_row([*advice.first, advice.sentences[-1]]))
    if both is not None:
        remarks = (remark for remark in both.first if not remark.startswith(STILL))
        text = say("advice.together_brings", label=both.label, amount=amount_words(both), sure=sure_words(both))
        return retell(in_a_row([*advice.first, *remarks, text]))
    best = actions[0]
    text = say("advice.first_brings", amount=amount_words(best), sure=sure_words(best))
    return retell(in_a_row([*advice.first, text]))


def amount_shown(proposal: Proposal) -> list[tuple[str, str, str]]:
    """Money a month in a figure."""
    return [(say("advice.a_month"), retell(amount_words(proposal)), retell(sure_words(proposal)))]


def action_shown(proposal: Proposal, number: str) -> str:
    """An action as HTML: what must be said first, what to do, what it costs beside, how far it stays right."""
    beside = change_count_words(proposal)
    return "".join(
        (
            *(element("p", retell(text), "said-first") for text in proposal.first),
            element("h3", f"{number}{retell(proposal.label)}"),
            element("p", say("brief.sentence", text=begun(beside)) if beside else "", "note"),
            element("p", retell(proposal.still_right), "note") if proposal.still_right else "",
        )
    )


def why_words(proposal: Proposal) -> str:
    """Which figures of the ledger bring it, the greatest first."""
    rows = [row for row in proposal.items.to_dict(orient="records") if row["is_apart"]][:_NAMED]
    if not rows:
        return say("advice.no_item")
    parts = [
        say("advice.item", item=item_said(str(row["item"])), amount=_signed(row), currency=proposal.currency)
        for row in rows
    ]
    return say("advice.changes_most", items=say("format.semicolon").join(parts))


def _signed(row: dict[Any, Any]) -> str:
    sign = "+" if row["change"] >= 0.0 else ""
    return f"{sign}{interval(row['change'], row['half_width'])}"


def last_words(advice: Advice) -> str:
    """What stands beneath the actions: that nothing else is significant, or how far the study is; see `headline`."""
    return retell(advice.sentences[-1]) if advice.actions else ""


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
    return _figures(proposal.figures, level, proposal.currency)


def change_sheet(change: Change) -> Sheet:
    """A change just made, before and after."""
    return _figures(change.figures, change.confidence, change.works.currency)


def _figures(figures: pd.DataFrame, level: float, currency: str) -> Sheet:
    rows: list[list[Cell]] = []
    for row in figures.to_dict(orient="records"):
        change = _signed(row) if row["is_apart"] else f"{_signed(row)} ~"
        cells = numbers(number(row["before"]), number(row["after"]), change)
        rows.append([_figure_said(row, currency), *cells])
    return Sheet(say("change.caption", level=100.0 * level), ["", *numbers(*_heads())], rows, figures)


def _heads() -> list[str]:
    return [say("change.head_before"), say("change.head_after"), say("brief.change_head")]


def _figure_said(row: dict[Any, Any], currency: str) -> str:
    """A figure with its unit, in the words of whoever reads."""
    plain = f"{row['figure']}, {row['unit']}"
    kept = (keep(f"figures.{name}", currency=currency) for name in (row["name"], "saved"))
    return retell(next((text for text in kept if text == plain), plain))


def items_sheet(proposal: Proposal) -> Sheet:
    """What the parts are worth and what each item of the ledger costs a month, before and after."""
    rows: list[list[Cell]] = []
    for row in proposal.items.to_dict(orient="records"):
        change = _signed(row) if row["is_apart"] else f"{_signed(row)} ~"
        rows.append(
            [retell(item_said(str(row["item"]))), *numbers(number(row["before"], 0), number(row["after"], 0), change)]
        )
    caption = say("advice.items_caption", currency=proposal.currency)
    return Sheet(caption, ["", *numbers(*_heads())], rows, proposal.items)
