"""A first look at all policies over a shorter span, so that there is an answer at once, and then the whole of it."""

from __future__ import annotations

import time
from collections.abc import Iterator, Sequence
from dataclasses import replace

from linesim.study.comparing.compare import compare_steps
from linesim.study.comparing.comparison import Comparison
from linesim.study.crew.crew import Crew
from linesim.study.interim import Interim
from linesim.works import Works

__all__ = ["FIRST_REPLICATIONS", "policies_steps", "shorter"]

FIRST_REPLICATIONS = 3
"""Runs of each policy over the shorter span."""

_SHARE = 0.1
_LEAST_SHIFTS = 5.0
_FIRST_WORDS = "a first look over a shorter span"
_ENOUGH = 3


def shorter(works: Works) -> Works:
    """The works, counted over a tenth of its time, but five shifts at least.

    Parameters
    ----------
    works : Works
        The checked scenario.

    Returns
    -------
    Works
        With the same warm-up; the same works where it counts no longer than that.
    """
    length = max(_SHARE * works.run.length, _LEAST_SHIFTS * works.calendar.shift)
    if length >= works.run.length:
        return works
    return works.model_copy(update={"run": works.run.model_copy(update={"length": length})})


def policies_steps(
    works: Works,
    policies: Sequence[str] | None = None,
    replications: int = 24,
    seed: int | None = None,
    confidence: float = 0.95,
    crew: Crew | None = None,
) -> Iterator[Interim[Comparison]]:
    """Set policies against each other: first over a shorter span, then as `compare_steps` does.

    Parameters
    ----------
    works, policies, replications, seed, confidence, crew
        As for `linesim.study.comparing.compare.compare_steps`.

    Yields
    ------
    Interim of Comparison
        ``answer.works.run.length`` says over what span an answer counts. Runs of the first look are not kept in the
        store.
    """
    began_s = time.monotonic()
    first, before = shorter(works), 0
    answer: Comparison | None = None
    if first is not works:
        names = tuple(works.policies if policies is None else policies)
        before = FIRST_REPLICATIONS * len(names)
        rest = replications * len(names)
        unkept = Crew(None if crew is None else crew.workers)
        for step in compare_steps(first, policies, FIRST_REPLICATIONS, seed, confidence, crew=unkept):
            answer = step.answer if step.is_final else answer
            yield Interim(step.done, step.total + rest, time.monotonic() - began_s, answer, _FIRST_WORDS)
    for step in compare_steps(works, policies, replications, seed, confidence, crew=crew):
        is_better = step.answer is not None and (step.answer.n_replications >= _ENOUGH or step.is_final)
        answer = step.answer if is_better else answer
        done = replace(step, done=before + step.done, total=before + step.total, answer=answer)
        yield replace(done, elapsed_s=time.monotonic() - began_s)
