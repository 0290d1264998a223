"""How picking the best by looking again and again has ended, in sentences."""

from __future__ import annotations

from collections.abc import Iterator

from linesim.study.comparing.figures import ComparedFigures
from linesim.study.comparing.words import amount, listing, number_word

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
        return f"best of the {count} by {by}, with {level} if it is at least {_zone(answer)} better than any other"
    return (
        f"with {level} the best of the {count} is one of the {number_word(len(answer.selection.left))} still standing"
    )


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
        yield (
            f"After {picked.replications} replications, the most allowed, {listing(list(picked.left))} are still not "
            f"significantly different to within {_zone(answer)}."
        )
    by_count: dict[int, list[str]] = {}
    for each in picked.dropped:
        by_count.setdefault(each.after, []).append(each.name)
    dropped = [f"after {count} replications {listing(names)}" for count, names in by_count.items()]
    if dropped:
        yield f"Dropped for good: {'; '.join(dropped)}."
    yield (
        f"The best was looked for by Kim and Nelson's fully sequential procedure (2001): {picked.first} replications "
        f"of each at first, then a look after every further one; indifference zone {_zone(answer)}, shared chance. The "
        "half widths shown are those of a number of replications fixed beforehand; the verdict does not rest on them."
    )


def _zone(answer: ComparedFigures) -> str:
    """The indifference zone with its unit."""
    assert answer.selection is not None
    unit = answer.best.measure.unit.replace("money", answer.works.currency)
    return f"{amount(answer.selection.zone, 0.0, 2).removesuffix('.00')} {unit}".strip()
