"""What to change first, in sentences that a shop understands."""

from __future__ import annotations

import math
from collections.abc import Iterator

from linesim.study.advice.figures import AdviceFigures, Proposal
from linesim.words import Figure, figure, in_a_row, keep

__all__ = [
    "advice_sentences", "amount_words", "basis_words", "change_count_words", "proposal_words", "rounded", "sure_words",
]  # fmt: skip

_FEW_A_WEEK = 1.0
_WEEKS_A_MONTH = 4.0
"""Near enough for a count of changes in whole numbers."""

_MINUS = "\N{MINUS SIGN}"


def rounded(value: float, half_width: float) -> Figure:
    r"""A figure with the digits that its interval carries, thousands set apart.

    >>> rounded(2476.3, 182.0), rounded(12.34, 0.6)
    ('2\u202f480', '12.34')
    """
    if not (math.isfinite(half_width) and half_width > 0.0):
        return figure(f"{value:,.0f}".replace("-", _MINUS))
    places = 1 - math.floor(math.log10(half_width))
    return figure(f"{round(value, places):,.{max(places, 0)}f}".replace("-", _MINUS))


def amount_words(proposal: Proposal) -> str:
    """What is gained a month, with its sign and currency."""
    gain = proposal.gain
    key = "advice.amount" if gain.mean >= 0.0 else "advice.amount_less"
    return keep(key, amount=rounded(abs(gain.mean), gain.half_width), currency=proposal.currency)


def sure_words(proposal: Proposal) -> str:
    """Between what the gain is sure."""
    gain = proposal.gain
    if not proposal.is_fresh:
        return keep("advice.first_look")
    if gain.half_width == 0.0:
        return keep("advice.same_in_all")
    low, high = (rounded(end, gain.half_width) for end in (gain.mean - gain.half_width, gain.mean + gain.half_width))
    return keep("advice.sure", low=low, high=high)


def proposal_words(proposal: Proposal) -> str:
    """An action, what must be said first of it, what it brings, and what it costs beside."""
    amount: str = amount_words(proposal)
    beside = change_count_words(proposal)
    given = {
        "label": proposal.label, "beside": beside, "sure": sure_words(proposal),
        "amount": amount if proposal.is_fresh else keep("advice.about", amount=amount),
    }  # fmt: skip
    gain = keep("advice.proposal_beside" if beside else "advice.proposal", **given)
    return in_a_row([*proposal.first, gain, *([proposal.still_right] if proposal.still_right else [])])


def change_count_words(proposal: Proposal) -> str:
    """How many changes of cutters more or fewer a week, or a month where they are few; only what is beyond doubt."""
    if proposal.figures.empty:
        return ""
    rows = {str(row["name"]): row for row in proposal.figures.to_dict(orient="records")}
    counts = []
    for name in ("planned", "unplanned"):
        change = float(rows[name]["change"])
        changes, per = (abs(change), "week") if abs(change) >= _FEW_A_WEEK else (_WEEKS_A_MONTH * abs(change), "month")
        if rows[name]["is_apart"] and round(changes):
            way = "costs" if change > 0.0 else "saves"
            counts.append(keep(f"advice.{way}_{name}_{per}", count=round(changes)))
    return keep("format.names", names=counts) if counts else ""


def advice_sentences(advice: AdviceFigures) -> Iterator[str]:
    """First what is wrong as it is, then the actions, then all together, and that nothing else is significant."""
    yield from advice.first
    actions = advice.actions
    if not advice.is_final and not actions:
        looks = advice.promising
        yield from (proposal_words(each) for each in looks)
        yield keep("advice.so_far_looks", tried=advice.tried)
        return
    yield from (proposal_words(each) for each in actions)
    if advice.together is not None:
        yield proposal_words(advice.together)
    if not advice.is_final:
        yield keep("advice.so_far_runs", runs=advice.replications)
        return
    if actions:
        yield keep("advice.nothing_else", policy=advice.policy)
        return
    best = advice.runner_up
    none = keep("advice.none_better", tried=advice.tried, policy=advice.policy)
    near = [] if best is None else [keep("advice.nearest", proposal=proposal_words(best))]
    yield in_a_row([none, *near])


def basis_words(advice: AdviceFigures) -> list[str]:
    """What all the figures of the answer rest on."""
    run, calendar = advice.works.run, advice.works.calendar
    return [
        keep("advice.basis_today", policy=advice.policy),
        keep(
            "advice.basis_runs", tried=advice.tried, runs=advice.replications, minutes=run.length,
            confidence=advice.confidence, seed=advice.seed,
        ),
        keep(
            "advice.basis_month", weeks=calendar.weeks_per_year, days=calendar.days_per_week,
            shifts=keep("advice.shifts", count=calendar.shifts_per_day, minutes=calendar.shift),
        ),
        keep("advice.basis_together"),
    ]  # fmt: skip
