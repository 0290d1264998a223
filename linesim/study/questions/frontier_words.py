"""What a frontier comes down to, in sentences."""

from __future__ import annotations

import math
from collections.abc import Iterator

from linesim.study.comparing.said import quoted
from linesim.study.comparing.words import amount, number_said
from linesim.study.questions.frontier_figures import LOSS, OUTPUT, FrontierFigures
from linesim.study.statistics.pareto import BEATEN, ON, OPEN
from linesim.words import keep

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
        yield keep("frontier.none")
        return
    counts = {verdict: front.verdicts.verdict.count(verdict) for verdict in (ON, OPEN, BEATEN)}
    if front.comparison.n_replications < 2:
        yield keep("frontier.one_run", count=len(front.names))
    else:
        yield keep(
            "frontier.stand", count=len(front.names), confidence=100.0 * front.comparison.confidence,
            dominated=_counted(counts[BEATEN]), on=_counted(counts[ON]), open=_counted(counts[OPEN]),
        )  # fmt: skip
    first, last = front.line[0], front.line[-1]
    if first == last:
        yield keep("frontier.beats_all", policy=first, stand=_stand(front, first))
        return
    stand = {"first_stand": _stand(front, first), "last_stand": _stand(front, last)}
    yield keep("frontier.ends", first=first, last=last, **stand)
    yield _knee_sentence(front)
    if front.twins:
        yield keep("frontier.twins", count=len(front.twins))
    open_ones = [name for name, verdict in zip(front.names, front.verdicts.verdict, strict=True) if verdict == OPEN]
    if 0 < len(open_ones) <= _MOST_NAMED:
        yield keep("frontier.open", policies=quoted(open_ones))


def _stand(front: FrontierFigures, name: str) -> str:
    """Where one stands, in words."""
    output, loss = (amount(*front.comparison.mean(name, measure)) for measure in (OUTPUT, LOSS))
    return keep("frontier.at", output=output, loss=loss, currency=front.comparison.works.currency)


def _knee_sentence(front: FrontierFigures) -> str:
    """The knee, and how sure it is."""
    knee, share = front.knee_name, front.knee.share
    if knee is None:
        return keep("frontier.no_knee")
    values = {"policy": knee, "stand": _stand(front, knee)}
    if math.isnan(share):
        return keep("frontier.knee", **values)
    return keep("frontier.knee_sure", share=f"{100.0 * share:.0f}", **values)


def _counted(count: int) -> str:
    """How many, with the verb that belongs to it.

    >>> _counted(0), _counted(1), _counted(3)
    ('none is', 'one is', 'three are')
    """
    return keep("frontier.so_many_are", count=count, number=number_said(count)) if count else keep("frontier.none_is")
