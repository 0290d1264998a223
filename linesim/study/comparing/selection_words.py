"""How picking the best by looking again and again has ended, in sentences."""

from __future__ import annotations

from collections.abc import Iterator

from linesim.study.comparing.figures import ComparedFigures
from linesim.study.comparing.words import listing, number_said
from linesim.words import Series, figure, keep

__all__ = ["selection_sentences", "selection_verdict"]


def selection_verdict(answer: ComparedFigures, count: str, level: str) -> str:
    """How far the procedure carries the best one, as a clause.

    Parameters
    ----------
    answer : ComparedFigures
        One with a selection.
    count : str
        How many were compared, as a word.
    level : str
        The confidence, in words.

    Returns
    -------
    str
    """
    assert answer.selection is not None
    if answer.selection.best is not None:
        by = answer.best.measure.words
        return keep("verdict.picked", of=count, what=by, level=level, zone=_zone(answer))
    return keep("verdict.still_standing", level=level, of=count, left=number_said(len(answer.selection.left)))


def selection_sentences(answer: ComparedFigures) -> Iterator[str]:
    """What the procedure has dropped, when, and what it takes for granted.

    Parameters
    ----------
    answer : ComparedFigures

    Yields
    ------
    str
        Nothing if the best was not looked for.
    """
    picked = answer.selection
    if picked is None:
        return
    if picked.best is None:
        left = listing(list(picked.left))
        yield keep("verdict.not_picked", runs=picked.replications, left=left, zone=_zone(answer))
    by_count: dict[int, list[str]] = {}
    for each in picked.dropped:
        by_count.setdefault(each.after, []).append(each.name)
    dropped = [keep("verdict.dropped_after", runs=runs, names=listing(names)) for runs, names in by_count.items()]
    if dropped:
        yield keep("verdict.dropped", policies=Series(dropped))
    yield keep("verdict.procedure", first=picked.first, zone=_zone(answer))


def _zone(answer: ComparedFigures) -> str:
    """The indifference zone with its unit."""
    assert answer.selection is not None
    unit = answer.best.measure.unit.replace("money", answer.works.currency)
    zone = figure(f"{answer.selection.zone:.2f}".removesuffix(".00"))
    return keep("verdict.with_unit", amount=zone, unit=unit) if unit else zone
