"""For each variant its own best change intervals, so that none is judged with the intervals of another.

A modest search over the share of their life at which the sets concerned are changed: first one share for all of them
together, then each set by itself, beginning with the shortest-lived. Every trial meets the same castings, edges and
breakdowns; the verdict is given later on replications that the search has not seen.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np

from linesim.plan.build import make_plan
from linesim.routing.bench import Candidate, on_trial, outcomes_of, sample_of
from linesim.study import StudyOptions
from linesim.study.comparing.measures import deciding_measure
from linesim.study.crew.outcome import Outcome
from linesim.works import Works

__all__ = ["FIRST_SEARCH_REPLICATION", "SHARES", "BestIntervals", "best_intervals"]

SHARES = (0.3, 0.45, 0.6, 0.75, 0.9, 1.05, 1.2)
"""Shares of the expected life that are tried."""

FIRST_SEARCH_REPLICATION = 1_000_000
"""The search uses replications from here on, so that those of the verdict, from 0, are fresh."""


@dataclass(frozen=True, eq=False)
class BestIntervals:
    """What a search has found.

    Attributes
    ----------
    candidate : Candidate
        The works with the policy found added to it.
    shares : dict of str to float
        Share of its life at which each set concerned is changed; empty if none was to be sought.
    runs : int
        Runs that the search took.
    """

    candidate: Candidate
    shares: dict[str, float]
    runs: int


def best_intervals(
    works: Works, policy: str, sets: Sequence[str], seed: int, replications: int, options: StudyOptions
) -> Iterator[tuple[int, BestIntervals | None]]:
    """Seek the best change intervals of some sets, the others as the policy has them.

    Parameters
    ----------
    works : Works
        The variant.
    policy : str
        The policy to start from.
    sets : sequence of str
        Cutter sets whose interval is sought; without any the policy stays as it is.
    seed : int
        Key of all chance.
    replications : int
        Runs of each trial.
    options : StudyOptions
        Crew, engine and rules.

    Yields
    ------
    (int, BestIntervals or None)
        Runs done so far; the answer with the last one.
    """
    if not sets:
        yield 0, BestIntervals(Candidate(works, policy), {}, 0)
        return
    search = _Search(works, policy, seed, replications, options)
    yield from search.rate([dict.fromkeys(sets, share) for share in SHARES])
    best = search.best
    for name in _by_life(works, policy, sets) if len(sets) > 1 else ():
        here = SHARES.index(best[name])
        near = [SHARES[at] for at in (here - 2, here - 1, here + 1, here + 2) if 0 <= at < len(SHARES)]
        yield from search.rate([{**best, name: share} for share in near])
        best = search.best
    answer = on_trial(works, policy, {search.policy_name: best})
    yield search.runs, BestIntervals(Candidate(answer, search.policy_name), best, search.runs)


class _Search:
    """Trials so far and what they gave."""

    def __init__(self, works: Works, policy: str, seed: int, replications: int, options: StudyOptions) -> None:
        self.works = works
        self.policy = policy
        self.policy_name = f"{policy}, own intervals"
        self.seed = seed
        self.numbers = range(FIRST_SEARCH_REPLICATION, FIRST_SEARCH_REPLICATION + replications)
        self.options = options
        self.measure = deciding_measure(works)
        self.rated: list[tuple[float, dict[str, float]]] = []
        self.runs = 0

    @property
    def best(self) -> dict[str, float]:
        """The trial with the best mean; the first of equals."""
        return max(self.rated, key=lambda pair: pair[0])[1]

    def rate(self, trials: Sequence[dict[str, float]]) -> Iterator[tuple[int, None]]:
        """Run trials that have not been run yet and note their means."""
        known = [shares for _, shares in self.rated]
        fresh = [trial for trial in trials if trial not in known]
        named = {f"trial {number}": trial for number, trial in enumerate(fresh)}
        works = on_trial(self.works, self.policy, named)
        candidates = [Candidate(works, name) for name in named]
        outcomes: dict[int, dict[int, Outcome]] = {}
        before = self.runs
        for done, outcomes in outcomes_of(  # noqa: B007 - the last ones are taken
            candidates, self.seed, self.numbers, self.options
        ):
            self.runs = before + done
            yield self.runs, None
        sign = 1.0 if self.measure.is_more_better else -1.0
        for number, trial in enumerate(fresh):
            mean = float(np.mean(sample_of(candidates[number], outcomes[number]).values(self.measure.name)))
            self.rated.append((sign * mean if np.isfinite(mean) else -np.inf, trial))


def _by_life(works: Works, policy: str, sets: Sequence[str]) -> list[str]:
    """Sets by the expected life of their edges, the shortest first."""
    plan = make_plan(works, policy)
    life = {name: float("inf") for name in sets}
    for kind, minutes in zip(plan.mounts.kind.tolist(), plan.mounts.expected_life_min.tolist(), strict=True):
        name = plan.names.kinds[kind]
        if name in life:
            life[name] = min(life[name], minutes)
    return sorted(sets, key=lambda name: life[name])
