"""The verdict of a search: the best against the policy set out from, in replications that the search has not seen."""

from __future__ import annotations

from collections.abc import Iterator

from linesim.study.search.common.budget import FRESH
from linesim.study.search.common.trials import Trial
from linesim.study.search.intervals.best import Verdict
from linesim.study.search.intervals.walk import Answer, Walk

__all__ = ["verdict_on"]


def verdict_on(walk: Walk) -> Iterator[Answer]:
    """Run the best of a search and the policy from which it set out; its answer has the verdict then.

    Parameters
    ----------
    walk : Walk
        With a best setting.

    Yields
    ------
    Answer
        A word after every run; the answer stands from the first on.
    """
    walk.words = "the answer stands; the verdict, in fresh replications"
    yield walk.interim()
    base, best = Trial(("policy", walk.answer.against), walk.works, walk.answer.against), walk.best
    assert best is not None
    fresh = range(FRESH, FRESH + walk.deadline.fresh_in_time)
    for _ in walk.trials.run_each([(trial, number) for number in fresh for trial in (best, base)]):
        yield walk.interim()
    names = [measure.name for measure in walk.answer.measures]
    confidence, trials = walk.judge.confidence, walk.trials
    walk.answer = walk.answer.but(
        verdict=Verdict(
            {name: trials.mean(best.key, name, fresh, confidence) for name in names},
            {name: trials.mean(base.key, name, fresh, confidence) for name in names},
            {name: trials.difference(best.key, base.key, name, fresh, confidence) for name in names},
            FRESH,
            len(fresh),
        )
    )
    yield walk.interim()
