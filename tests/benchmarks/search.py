"""The joint search against random settings: ``python -m tests.benchmarks.search [--smoke] [--json FILE]``.

The search for the best intervals of all sets of the block line runs first. Then as many runs as it used are spent on
2,000 random settings: each is run once, the better half of them again, and so on, so that the runs go where they tell
most. The best of them and the search's answer meet in replications that neither has seen. The claim: the answer is no
worse than the best random one (the paired interval does not lie on the wrong side of 0).
"""

from __future__ import annotations

import argparse
import json
import math
import platform
import sys
import time
from pathlib import Path
from typing import Any

import numpy as np

from linesim.fast.choice import prepare
from linesim.study import Crew, StudyOptions
from linesim.study.search import IntervalStudy, SearchPlan, goal_of
from linesim.study.search.common.contest import Judge
from linesim.study.search.common.set_at import Setting, policy_of
from linesim.study.search.common.trials import Trial, Trials
from linesim.study.search.intervals.best import BestIntervals
from linesim.study.statistics.intervals import paired_difference
from linesim.works import Works, load_works

FIRST_FRESH = 5_000_000
SCENARIO = Path(__file__).parents[2] / "scenarios" / "block-line.yaml"


def searched(works: Works, plan: SearchPlan, crew: Crew) -> tuple[BestIntervals, dict[str, float]]:
    """The search's answer, and how long it took."""
    began_s, first_s, found = time.perf_counter(), math.nan, None
    for step in IntervalStudy(works, plan=plan, options=StudyOptions(crew=crew)).steps():
        if math.isnan(first_s) and step.answer is not None:
            first_s = time.perf_counter() - began_s
        found = step.answer
    assert found is not None
    return found, {"seconds": time.perf_counter() - began_s, "first_answer_seconds": first_s}


def random_best(found: BestIntervals, trials: Trials, count: int, runs: int) -> tuple[Trial, int]:
    """The best of random settings: 0.2 to 2 lives by ratio, grouped or not; half of them drop out in each round."""
    rng = np.random.default_rng(20261125)
    judge, places, works = Judge(trials, found.goal, found.confidence), found.places, found.works
    left: list[Trial] = []
    for row in 0.2 * 10.0 ** rng.random((count, len(places))):
        parts = tuple(
            place.snapped(share * place.parts_per_life, "parts") for place, share in zip(places, row, strict=True)
        )
        setting = Setting(parts, rng.choice(np.array([None, 0.5, 0.7, 0.85])))
        policy = policy_of(setting, places, "parts", works.policies[found.base])
        left.append(Trial(setting, works.model_copy(update={"policies": {"random": policy}}), "random"))
    replications = 1
    while True:
        for _ in trials.run(left, range(replications)):
            pass
        left.sort(key=lambda trial: judge.standing(trial.key, range(replications)))
        if len(left) == 1 or trials.done >= runs:
            return left[0], trials.done
        left, replications = left[: max(1, len(left) // 2)], 2 * replications


def measured(runs: int, count: int, fresh: int, weeks: float | None) -> dict[str, Any]:
    """Both, and the verdict."""
    works = load_works(SCENARIO)
    if weeks is not None:
        length = weeks * works.calendar.minutes_per()["week"]
        works = works.model_copy(update={"run": works.run.model_copy(update={"length": length})})
    crew = Crew()
    found, times = searched(works, SearchPlan(runs=runs), crew)
    trials = Trials(found.seed, crew)
    began_s = time.perf_counter()
    best, spent = random_best(found, trials, count, found.runs)
    times["random_seconds"] = time.perf_counter() - began_s
    answer = Trial("answer", works.model_copy(update={"policies": {"found": found.policy}}), "found")
    base = Trial("base", works, found.base)
    numbers = range(FIRST_FRESH, FIRST_FRESH + fresh)
    for _ in trials.run([answer, best, base], numbers):
        pass
    name = goal_of(works).measure.name
    values = {trial.key: trials.values(trial.key, name, numbers) for trial in (answer, best, base)}
    verdicts = {
        "answer_less_random": paired_difference(values["answer"], values[best.key], 0.95),
        "answer_less_base": paired_difference(values["answer"], values["base"], 0.95),
    }
    return {
        "machine": {"python": platform.python_version(), "processor": platform.processor() or platform.machine()},
        "sets": len(found.places),
        "search": {"runs": found.runs, "is_settled": found.is_settled, **times},
        "random": {"settings": count, "runs": spent},
        "measure": name,
        "base": found.base,
        "fresh_replications": fresh,
        "answer": {"parts": list(found.setting.parts), "group_past": found.setting.group_past},
        **{key: {"mean": of.mean, "half_width": of.half_width} for key, of in verdicts.items()},
        "is_no_worse": bool(
            found.goal.sign * verdicts["answer_less_random"].mean >= -verdicts["answer_less_random"].half_width
        ),
    }


def main(arguments: list[str] | None = None) -> int:
    """Measure, print, and fail if the claim does not hold."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--smoke", action="store_true", help="a small search of short runs, to see that it works")
    parser.add_argument("--json", type=Path, help="write the figures here")
    given = parser.parse_args(arguments)
    prepare()
    figures = measured(400, 60, 12, 2.0) if given.smoke else measured(4000, 2000, 60, None)
    text = json.dumps(figures, indent=2)
    print(text)
    if given.json is not None:
        given.json.write_text(text + "\n", encoding="utf-8")
    return 0 if figures["is_no_worse"] else 1


if __name__ == "__main__":
    sys.exit(main())
