"""What the value of a bottleneck minute comes down to, in sentences."""

from __future__ import annotations

from collections.abc import Iterator

from linesim.study.comparing.said import quoted
from linesim.study.comparing.words import amount
from linesim.study.questions.worth_figures import WorthFigures
from linesim.words import keep

__all__ = ["sentences_of"]


def sentences_of(worth: WorthFigures) -> Iterator[str]:
    """What a minute is worth where, and whether utilisation would have said the same.

    Parameters
    ----------
    worth : WorthFigures
        With its runs.

    Yields
    ------
    str
    """
    first, money = worth.table.iloc[0], worth.works.currency
    name, level = worth.named(str(first["line"]), str(first["operation"])), 100.0 * worth.confidence
    if worth.n_replications < 2 or not bool(first["is_told"]):
        yield keep("worth.not_shown", count=worth.n_replications, confidence=level)
        return
    size, others = amount(float(first["worth"]), float(first["worth_half_width"])), worth.not_significant
    shown = {"operation": name, "amount": size, "currency": money}
    yield (
        keep("worth.not_more", others=quoted(others), **shown)
        if others
        else keep("worth.most", confidence=level, **shown)
    )
    yield _by_load(worth, name)
    yield keep("worth.stopped", minutes=float(first["stopped_min"]))
    with_worth = {(row["line"], row["operation"]) for row in worth.table.to_dict(orient="records") if row["is_told"]}
    places = [(line, name) for line, row in worth.works.lines.items() for name in row.operations]
    none = [worth.named(*place) for place in places if place not in with_worth]
    if none:
        yield keep("worth.none", count=len(none), all=len(places), operations=none)


def _by_load(worth: WorthFigures, name: str) -> str:
    """Whether the constraint by utilisation is the one in money."""
    busiest = worth.table.sort_values("rank_utilisation").iloc[0]
    other, share = worth.named(str(busiest["line"]), str(busiest["operation"])), 100.0 * float(busiest["utilisation"])
    if other == name:
        return keep("worth.by_load", share=share)
    size = amount(float(busiest["worth"]), float(busiest["worth_half_width"]))
    return keep("worth.by_load_other", operation=other, share=share, amount=size, currency=worth.works.currency)
