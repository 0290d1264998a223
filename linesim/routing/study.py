"""The routing study: variants side by side, each with its own best change intervals, on fresh replications."""

from __future__ import annotations

import time
from collections.abc import Iterator, Sequence
from typing import Any

from linesim.errors import StudyError
from linesim.routing.answer import Made, RoutingAnswer
from linesim.routing.bench import Candidate, Sample, characteristics_of, check_runs, outcomes_of, sample_of
from linesim.routing.intervals import BestIntervals, best_intervals
from linesim.routing.minutes import work_content
from linesim.routing.variants import Variant, Variants, variants_from_text
from linesim.study import Crew, Interim, last_of
from linesim.works import Works

__all__ = ["routing", "routing_from_text_steps", "routing_steps"]

SEARCH_REPLICATIONS = 3


def routing_steps(
    variants: Variants,
    replications: int | None = None,
    seed: int | None = None,
    confidence: float = 0.95,
    crew: Crew | None = None,
    engine: str = "fast",
    search_replications: int = SEARCH_REPLICATIONS,
) -> Iterator[Interim[RoutingAnswer]]:
    """Set variants against each other, step by step.

    Parameters
    ----------
    variants : Variants
        What is set against each other.
    replications : int, optional
        Runs of each variant for the verdict, 2 or more; the scenario's number unless given.
    seed : int, optional
        Key of all chance; the scenario's unless given.
    confidence : float
        Of the intervals, between 0 and 1.
    crew : Crew, optional
        Who carries the runs out.
    engine : {"fast", "simpy"}
        Which engine runs them; both give the same.
    search_replications : int
        Runs of each trial in the search for change intervals, 1 or more.

    Yields
    ------
    Interim
        The last one is final and holds the `RoutingAnswer`.

    Raises
    ------
    StudyError
        What is asked for cannot be.
    """
    base = variants.base
    count = base.run.replications if replications is None else replications
    key = base.run.seed if seed is None else seed
    check_runs(count, key, confidence, least=2)
    if search_replications < 1:
        raise StudyError(f"{search_replications} runs of each trial were asked for; at least 1 was expected")
    began = time.monotonic()
    done, found = 0, []
    for item in variants.items:
        answer: BestIntervals | None = None
        sets, before = variants.concerned(item), done
        words = f"seeking the best change intervals of {item.name}"
        for runs, latest in best_intervals(item.works, variants.policy, sets, key, search_replications, crew, engine):
            done, answer = before + runs, latest
            yield Interim(done, _total(variants, count, done), time.monotonic() - began, None, words)
        assert answer is not None
        found.append(answer)
    candidates = [best.candidate for best in found]
    outcomes: dict[int, Any] = {}
    before = done
    for runs, so_far in outcomes_of(candidates, key, range(count), crew, engine):
        done, outcomes = before + runs, so_far
        yield Interim(done, before + runs_of(candidates, count), time.monotonic() - began, None, "fresh runs of each")
    made = tuple(
        _made(variants, item, best, sample_of(best.candidate, outcomes[number]), key, count, engine)
        for number, (item, best) in enumerate(zip(variants.items, found, strict=True))
    )
    answer_found = RoutingAnswer(variants, made, key, count, confidence, engine)
    yield Interim(done, done, time.monotonic() - began, answer_found, "done", True)


def routing(variants: Variants, *arguments: Any, **options: Any) -> RoutingAnswer:
    """Set variants against each other; see `routing_steps` for what may be given."""
    return last_of(routing_steps(variants, *arguments, **options))


def runs_of(candidates: Sequence[Candidate], count: int) -> int:
    """Runs that the verdict takes."""
    return len(candidates) * count


def _total(variants: Variants, count: int, done: int) -> int:
    """Runs in all, as far as can be said while the search goes on: some twenty for each set and variant."""
    sought = sum(7 + 4 * len(variants.concerned(item)) for item in variants.items) * SEARCH_REPLICATIONS
    return max(sought, done) + len(variants.items) * count


def _made(
    variants: Variants, item: Variant, best: BestIntervals, sample: Sample, seed: int, count: int, engine: str
) -> Made:
    """One variant with all that is told of it."""
    content = work_content(best.candidate, variants.line, variants.features)
    table = characteristics_of(best.candidate, seed, range(count), engine)
    return Made(item, best, content, sample, table)


def routing_from_text_steps(
    works: Works, variants: str, name: str = "variants", **options: Any
) -> Iterator[Interim[RoutingAnswer]]:
    """Set variants given as a text against each other, step by step, from plain values alone.

    Parameters
    ----------
    works : Works
        The scenario.
    variants : str
        YAML, as a file of variants would say it.
    name : str
        What to call the text in errors.
    **options
        As for `routing_steps`.

    Yields
    ------
    Interim

    Raises
    ------
    ScenarioError
        With everything that is wrong with the variants.
    """
    yield from routing_steps(variants_from_text(variants, works, name), **options)
