"""The joint search held against R-SPLINE: ``python -m tests.benchmarks.oracle [--line smallest] [--seeds N]``.

R-SPLINE (H. Wang, R. Pasupathy and B. W. Schmeiser, "Integer-ordered simulation optimization using R-SPLINE", ACM
Transactions on Modeling and Computer Simulation 23 (2013)) knows nothing of cutters: it is handed whole numbers of
parts between changes, one for each set, and may spend as many runs as the search has. Its implementation is that of
pymoso (MIT licence), which linesim does not need for anything else; put it beside linesim for this:
``.venv/bin/python -m pip install pymoso``. Both set out from the same policy, with its aims, corrections and grouping
as they stand; both answers meet in replications that neither has seen. The claim: the search's is no worse than
R-SPLINE's by more than the paired interval.
"""

from __future__ import annotations

import argparse
import importlib
import importlib.util
import json
import sys
from pathlib import Path
from typing import Any

import numpy as np

from linesim.fast.choice import prepare
from linesim.study import Crew, StudyOptions
from linesim.study.search import IntervalStudy, SearchPlan
from linesim.study.search.common.set_at import Setting, intervals_under, policy_of
from linesim.study.search.common.trials import Trial, Trials
from linesim.study.search.intervals.best import BestIntervals
from linesim.study.statistics.intervals import paired_difference
from linesim.works import Works, load_works

SCENARIOS = Path(__file__).parents[2] / "scenarios"
FIRST_FRESH, FIRST_OF_ORACLE, FRESH = 6_000_000, 7_000_000, 60


def trial_at(best: BestIntervals, parts: tuple[int, ...]) -> Trial:
    """The works with these intervals, all else as in the policy set out from."""
    base = best.works.policies[best.base]
    policy = policy_of(Setting(parts, base.group_past), best.sets_at, "parts", base)
    return Trial(parts, best.works.model_copy(update={"policies": {"intervals": policy}}), "intervals")


def by_r_spline(best: BestIntervals, trials: Trials, budget: int, seed: int) -> tuple[tuple[int, ...], int]:
    """What R-SPLINE comes to from the policy set out from, and the runs it took."""
    base_class = importlib.import_module("pymoso.chnbase").Oracle
    solver = importlib.import_module("pymoso.solvers.rspline").RSPLINE
    solve = importlib.import_module("pymoso.chnutils").solve
    most = [max(int(each.parts_per_life), 1) for each in best.sets_at]
    name, spent = best.goal.measure.name, 0

    class Line(base_class):  # type: ignore[misc,valid-type]
        """One replication of the line; its number comes from the solver's stream, so that points share chance."""

        def __init__(self, rng: Any) -> None:
            self.num_obj, self.dim = 1, len(most)
            super().__init__(rng)

        def g(self, x: tuple[int, ...], rng: Any) -> tuple[bool, tuple[float]]:
            nonlocal spent
            number = FIRST_OF_ORACLE + int(rng.random() * 1e6)
            if not all(1 <= parts <= last for parts, last in zip(x, most, strict=True)):
                return False, (0.0,)
            spent += 1
            for _ in trials.run([trial_at(best, x)], [number]):
                pass
            return True, (float(-best.goal.sign * trials.values(x, name, [number])[0]),)

    known = intervals_under(best.works, best.base, best.sets_at)
    start = tuple(each.snapped(known[each.key], "parts") for each in best.sets_at)
    found, _ = solve(Line, solver, start, budget=budget, crn=True, seed=(seed,) * 6)
    return tuple(int(parts) for parts in next(iter(found))), spent


def measured(works: Works, seed: int, plan: SearchPlan) -> dict[str, Any]:
    """Both answers in fresh replications."""
    options = StudyOptions(crew=Crew(1), seed=seed)
    best = IntervalStudy(works, policy=works.todays_policy, plan=plan, options=options).run()
    trials = Trials(seed, Crew(1))
    parts, spent = by_r_spline(best, trials, best.runs, seed)
    ours, theirs = trial_at(best, best.setting.parts), trial_at(best, parts)
    start = Trial("start", best.works, best.base)
    numbers = range(FIRST_FRESH, FIRST_FRESH + FRESH)
    for _ in trials.run([ours, theirs, start], numbers):
        pass
    values = [
        best.goal.sign * trials.values(each.key, best.goal.measure.name, numbers) for each in (ours, theirs, start)
    ]
    apart, gained = paired_difference(values[0], values[1], 0.95), paired_difference(values[1], values[2], 0.95)
    return {
        "seed": seed, "runs": best.runs, "runs_of_r_spline": spent, "search": best.setting.parts, "r_spline": parts,
        "search_less_r_spline": {"mean": apart.mean, "half_width": apart.half_width},
        "r_spline_less_start": {"mean": gained.mean, "half_width": gained.half_width},
        "is_no_worse": bool(np.isfinite(apart.mean) and apart.mean >= -apart.half_width),
    }  # fmt: skip


def main(arguments: list[str] | None = None) -> int:
    """Measure, print, and fail if the claim does not hold."""
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("--line", default="smallest", help="scenario by its file's name (smallest)")
    parser.add_argument("--seeds", type=int, default=3)
    parser.add_argument("--runs", type=int, default=SearchPlan().runs)
    given = parser.parse_args(arguments)
    if importlib.util.find_spec("pymoso") is None:
        print("pymoso is not installed here: .venv/bin/python -m pip install pymoso")
        return 2
    prepare()
    works = load_works(SCENARIOS / f"{given.line}.yaml")
    plan = SearchPlan(runs=given.runs, levers=False, groups=False)
    rows = [measured(works, works.run.seed + at, plan) for at in range(given.seeds)]
    for row in rows:
        print(json.dumps(row), flush=True)
    return 0 if all(row["is_no_worse"] for row in rows) else 1


if __name__ == "__main__":
    sys.exit(main())
