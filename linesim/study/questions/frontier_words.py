"""What a frontier comes down to, in sentences."""

from __future__ import annotations

import math
from collections.abc import Iterator

from linesim.study.comparing.words import amount, listing, number_word
from linesim.study.questions.frontier_figures import LOSS, OUTPUT, FrontierFigures
from linesim.study.statistics.pareto import BEATEN, ON, OPEN

__all__ = ["sentences_of"]

_MOST_NAMED = 4


def sentences_of(front: FrontierFigures) -> Iterator[str]:
    """How many stand where, the ends, and the knee.

    Parameters
    ----------
    front : FrontierFigures
        With its runs.

    Yields
    ------
    str
    """
    if not front.names:
        yield "No policy shipped a good part in every replication, so that there is no frontier."
        return
    counts = {verdict: front.verdicts.verdict.count(verdict) for verdict in (ON, OPEN, BEATEN)}
    level = f"{100.0 * front.comparison.confidence:g} % confidence in all of this at once"
    if front.comparison.n_replications < 2:
        yield f"There is one replication of each of {len(front.names)} policies, which settles nothing."
    else:
        dominated, on, undecided = (_counted(counts[verdict]) for verdict in (BEATEN, ON, OPEN))
        yield (
            f"Of {len(front.names)} policies {dominated} dominated, beaten by another one in output and quality at "
            f"once; {on} surely on the frontier, and {undecided} not settled by the runs, with {level}."
        )
    first, last = front.line[0], front.line[-1]
    if first == last:
        yield f'"{first}" beats all others in the mean: {_stand(front, first)}.'
        return
    yield f'The frontier goes from "{first}" ({_stand(front, first)}) to "{last}" ({_stand(front, last)}).'
    yield _knee_sentence(front)
    if front.twins:
        yield f"{len(front.twins)} more do exactly the same as one of these and are not shown by themselves."
    open_ones = [name for name, verdict in zip(front.names, front.verdicts.verdict, strict=True) if verdict == OPEN]
    if 0 < len(open_ones) <= _MOST_NAMED:
        yield f"Not settled: {listing(open_ones)}; more replications would."


def _stand(front: FrontierFigures, name: str) -> str:
    """Where one stands, in words."""
    money = front.comparison.works.currency
    output, loss = (amount(*front.comparison.mean(name, measure)) for measure in (OUTPUT, LOSS))
    return f"{output} good parts per hour at {loss} {money} of quality loss each"


def _knee_sentence(front: FrontierFigures) -> str:
    """The knee, and how sure it is."""
    knee = front.knee_name
    if knee is None:
        return "It has no knee: nothing on it bulges out beyond the line through its ends."
    sure = "" if math.isnan(front.knee.share) else f"; the same in {_share(front)} of resampled sets of replications"
    return (
        f'Its knee, the point farthest out from the line through its ends, is "{knee}" ({_stand(front, knee)}){sure}.'
    )


def _share(front: FrontierFigures) -> str:
    """Share of resamples in per cent."""
    return f"{100.0 * front.knee.share:.0f} %"


def _counted(count: int) -> str:
    """How many, with the verb that belongs to it.

    >>> _counted(0), _counted(1), _counted(3)
    ('none is', 'one is', 'three are')
    """
    return f"{number_word(count) if count else 'none'} {'is' if count < 2 else 'are'}"
