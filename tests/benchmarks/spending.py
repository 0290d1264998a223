"""What a longer search brings: ``python -m tests.benchmarks.spending [--only NAME] [--seeds N] [--fresh N]``.

The joint search for intervals with shares of its usual budget (settings of a round and paired runs alike), seed by
seed, and the goal under each answer in the same replications, which none of them has seen. A budget above the usual
one is worth its runs if what it comes to is better by more than the standard error of the seeds.
"""

from __future__ import annotations

import argparse
from collections.abc import Iterator
from dataclasses import replace

import numpy as np

from linesim.fast.choice import prepare
from linesim.study import Crew
from linesim.study.search import SearchPlan
from linesim.study.search.common.budget import USUAL_PLAN
from linesim.study.search.common.trials import Trial, Trials
from tests.benchmarks.search import CASES, FIRST_FRESH, searched

_SHARES = (0.75, 1.0, 1.5)
_FIRST_SEED = 11
"""The seeds from here on are not those of `tests.benchmarks.search`."""


def plan_of(share: float) -> SearchPlan:
    """A share of the usual budget."""
    return replace(USUAL_PLAN, runs=round(share * USUAL_PLAN.runs), replications=round(share * USUAL_PLAN.replications))


def spent(case: str, share: float, seeds: range, fresh: int, crew: Crew) -> Iterator[tuple[int, float]]:
    """Seed by seed the runs that the search took, and the mean of its goal under the answer, in fresh replications."""
    works, numbers = CASES[case](), range(FIRST_FRESH, FIRST_FRESH + fresh)
    trials = Trials(_FIRST_SEED, crew)
    for seed in seeds:
        best = searched(works, plan_of(share), crew, seed).best
        trial = Trial(seed, works.model_copy(update={"policies": {"taken": best.policy}}), "taken")
        for _ in trials.run([trial], numbers):
            pass
        yield best.runs, float(trials.values(seed, best.goal.measure.name, numbers).mean())


def main() -> None:
    """Search with each budget and say what came of it."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--only", choices=list(CASES), default="block line")
    parser.add_argument("--seeds", type=int, default=12)
    parser.add_argument("--fresh", type=int, default=200)
    given = parser.parse_args()
    prepare()
    print(f"{given.only}, seeds from {_FIRST_SEED}, each answer in the same {given.fresh} fresh replications")
    for share in _SHARES:
        seeds = range(_FIRST_SEED, _FIRST_SEED + given.seeds)
        rows = []
        for runs, mean in spent(given.only, share, seeds, given.fresh, Crew()):
            rows.append((runs, mean))
            print(f"  {share:g} of the usual budget: {runs} runs, {mean:.2f}", flush=True)
        runs, means = np.array(rows).T
        error = means.std(ddof=1) / np.sqrt(len(means)) if len(means) > 1 else np.nan
        print(f"{share:g} of the usual budget: {runs.mean():.0f} runs, {means.mean():.2f}, standard error {error:.2f}")


if __name__ == "__main__":
    main()
