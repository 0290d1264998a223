"""The routing study: variants side by side, each with its own best change intervals, on fresh replications."""

from __future__ import annotations

import time
from collections.abc import Iterator
from dataclasses import dataclass

from linesim.errors import StudyError
from linesim.routing.answer import RoutingAnswer, Tried
from linesim.routing.bench import Sample, characteristics_of, outcomes_of, sample_of
from linesim.routing.intervals import BestIntervals, best_intervals
from linesim.routing.minutes import work_content
from linesim.routing.variants import Variant, Variants
from linesim.study import USUAL, Interim, Study, StudyOptions
from linesim.study.crew.outcome import Outcome

__all__ = ["RoutingStudy"]

SEARCH_REPLICATIONS = 3


@dataclass(frozen=True, eq=False)
class RoutingStudy(Study[RoutingAnswer]):
    """Variants set against each other.

    Attributes
    ----------
    variants : Variants
        What is set against each other.
    search_replications : int
        Runs of each trial in the search for change intervals, 1 or more.
    options : StudyOptions
        How it is carried out; 2 replications or more of each variant for the verdict.
    """

    kind = "routing"
    variants: Variants
    search_replications: int = SEARCH_REPLICATIONS
    options: StudyOptions = USUAL

    def steps(self) -> Iterator[Interim[RoutingAnswer]]:
        """Carry it out: the search for each variant, then the verdict."""
        variants, options = self.variants, self.options
        count = options.count_for(variants.base.run.replications, least=2)
        seed = options.seed_for(variants.base, count - 1)
        if self.search_replications < 1:
            expected = "at least 1 was expected"
            raise StudyError(f"{self.search_replications} runs of each trial were asked for; {expected}")
        began_s = time.monotonic()
        sought: list[BestIntervals] = []
        done = 0
        for item in variants.items:
            before, answer = done, None
            words = f"seeking the best change intervals of {item.name}"
            for runs, answer in self._sought(item, seed):  # noqa: B007 - the last one is taken
                done = before + runs
                yield Interim(done, _total(variants, count, done), time.monotonic() - began_s, None, words)
            assert answer is not None
            sought.append(answer)
        candidates, before = [best.candidate for best in sought], done
        outcomes: dict[int, dict[int, Outcome]] = {}
        for runs, so_far in outcomes_of(candidates, seed, range(count), options):
            outcomes, done, total = so_far, before + runs, before + len(candidates) * count
            yield Interim(done, total, time.monotonic() - began_s, None, "fresh runs of each")
        built = tuple(
            _tried(variants, item, best, sample_of(best.candidate, outcomes[number]), (seed, count, options.engine))
            for number, (item, best) in enumerate(zip(variants.items, sought, strict=True))
        )
        answer_ = RoutingAnswer(variants, built, seed, count, options.confidence, options.engine)
        yield Interim(done, done, time.monotonic() - began_s, answer_, "done", True)

    def _sought(self, item: Variant, seed: int) -> Iterator[tuple[int, BestIntervals | None]]:
        """The search for the change intervals of one variant."""
        sets = self.variants.concerned(item)
        return best_intervals(item.works, self.variants.policy, sets, seed, self.search_replications, self.options)


def _total(variants: Variants, count: int, done: int) -> int:
    """Runs in all, as far as can be said while the search goes on: some twenty for each set and variant."""
    sought = sum(7 + 4 * len(variants.concerned(item)) for item in variants.items) * SEARCH_REPLICATIONS
    return max(sought, done) + len(variants.items) * count


def _tried(variants: Variants, item: Variant, best: BestIntervals, sample: Sample, runs: tuple[int, int, str]) -> Tried:
    """One variant with all that is told of it; its runs by seed, number and engine."""
    seed, count, engine = runs
    content = work_content(best.candidate, variants.line, variants.features)
    table = characteristics_of(best.candidate, seed, range(count), engine)
    return Tried(item, best, content, sample, table)
