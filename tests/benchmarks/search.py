"""The joint search for intervals: ``python -m tests.benchmarks.search [--smoke] [--only NAME] [--seeds N] ...``.

For the block line, the works and a works of some 130 sets (its lines five times over, each with a worth of its own),
seed by seed: seconds and processor seconds to the answer with its verdict, seconds to the first interim answer, runs.
Then its answer meets, in replications that none of them has seen, that of a search ten times as long, and the best of
2,000 random settings on which as many runs were spent: each is run once, the better half of them again, and so on, so
that the runs go where they tell most (`--random N`: of N, with as many runs as it takes until one is left). They are
raced once for each case. The claim: the answer is no worse than either by more than the paired interval. The first
answer meets the file's best policy. How the time grows from the works to the one of many lines is told as a power of
the number of sets.
"""

from __future__ import annotations

import argparse
import copy
import json
import math
import os
import platform
import sys
import time
from collections.abc import Callable
from pathlib import Path
from typing import Any, NamedTuple

import numpy as np
import psutil

from linesim.fast.choice import prepare
from linesim.study import Crew, StudyOptions
from linesim.study.search import IntervalStudy, SearchPlan
from linesim.study.search.common.contest import Judge
from linesim.study.search.common.set_at import Setting, policy_of
from linesim.study.search.common.trials import Trial, Trials
from linesim.study.search.intervals.best import BestIntervals
from linesim.study.statistics.intervals import paired_difference
from linesim.works import Works, load_works, works_from_dict
from linesim.works.writing import plain

FIRST_FRESH = 5_000_000
SCENARIOS = Path(__file__).parents[2] / "scenarios"
COPIES = 5


def copied(copies: int = COPIES) -> Works:
    """The works with each of its lines so many times, with a worth of its own, and hands for them all."""
    content = copy.deepcopy(plain(load_works(SCENARIOS / "works.yaml")))
    content.pop("engine")
    rng, lines = np.random.default_rng(20261127), {}
    for number in range(1, copies + 1):
        for name, line in content["lines"].items():
            operations = {f"{number} {operation}": of for operation, of in line["operations"].items()}
            own = {key: value for key, value in line.items() if key not in ("later", "operations")}
            lines[f"{name} {number}"] = own | {"worth": line["worth"] * rng.uniform(0.8, 1.2), "operations": operations}
    for pool in content["people"].values():
        pool["count"] = copies * pool.get("count", 1)
    for cutter in content["cutters"].values():
        cutter["sets"] *= copies
    for policy in content["policies"].values():
        for entry in ("exceptions", "aims"):
            if entry in policy:
                policy[entry] = {name: of for name, of in policy[entry].items() if " / " not in name}
    content |= {"name": f"{copies} times the works", "lines": lines, "crib": content["crib"] | {"grinders": copies}}
    return works_from_dict(content, "many lines")


CASES: dict[str, Callable[[], Works]] = {
    "block line": lambda: load_works(SCENARIOS / "block-line.yaml"),
    "works": lambda: load_works(SCENARIOS / "works.yaml"),
    "many lines": copied,
}


def processor_s() -> float:
    """Processor seconds of this process and of all that it has started."""
    here = psutil.Process(os.getpid())
    times = [each.cpu_times() for each in (here, *here.children(recursive=True))]
    return float(sum(each.user + each.system for each in times))


class Searched(NamedTuple):
    """What a search came to, at first and at last, and what it took."""

    first: BestIntervals
    best: BestIntervals
    took: dict[str, Any]


def searched(works: Works, plan: SearchPlan, crew: Crew, seed: int) -> Searched:
    """The search's answers, and what they took."""
    began_s, began_cpu_s, first_s, first, best = time.perf_counter(), processor_s(), math.nan, None, None
    for step in IntervalStudy(works, plan=plan, options=StudyOptions(crew=crew, seed=seed)).steps():
        if first is None and step.answer is not None:
            first_s, first = time.perf_counter() - began_s, step.answer
        best = step.answer
    assert first is not None
    assert best is not None
    took = {"seconds": time.perf_counter() - began_s, "processor_seconds": processor_s() - began_cpu_s}
    took |= {"first_answer_seconds": first_s, "runs": best.runs, "is_settled": best.is_settled}
    return Searched(first, best, took)


def random_best(best: BestIntervals, trials: Trials, count: int, runs: int | None) -> Trial:
    """The best of random settings: 0.2 to 2 lives by ratio, grouped or not; some drop out in each round.

    With so many runs to spend half of them do; where one is to be left whatever that takes, three quarters.
    """
    rng = np.random.default_rng(20261125)
    judge, sets_at, works = Judge(trials, best.goal, best.confidence), best.sets_at, best.works
    left: list[Trial] = []
    for row in 0.2 * 10.0 ** rng.random((count, len(sets_at))):
        parts = tuple(
            each.snapped(share * each.parts_per_life, "parts") for each, share in zip(sets_at, row, strict=True)
        )
        setting = Setting(parts, rng.choice(np.array([None, 0.5, 0.7, 0.85])))
        policy = policy_of(setting, sets_at, "parts", works.policies[best.base])
        left.append(Trial(setting, works.model_copy(update={"policies": {"random": policy}}), "random"))
    replications, drop = 1, 2 if runs is not None else 4
    while True:
        for _ in trials.run(left, range(replications)):
            pass
        left.sort(key=lambda trial: judge.sort_key(trial.key, range(replications)))
        if len(left) == 1 or (runs is not None and trials.done >= runs):
            return left[0]
        left, replications = left[: max(1, len(left) // drop)], 2 * replications


def quality(of: Searched, longer: BestIntervals | None, rival: Trial, fresh: int, crew: Crew) -> dict[str, Any]:
    """Paired differences of the answer from its rivals in fresh replications, more is better for the answer.

    The first answer likewise against the best policy of the file.
    """
    best = of.best

    def taken(name: str, answer: BestIntervals) -> Trial:
        return Trial(name, best.works.model_copy(update={"policies": {"taken": answer.policy}}), "taken")

    base, answer, first = Trial("base", best.works, best.base), taken("answer", best), taken("first", of.first)
    pairs = {"less_base": (answer, base), "less_random": (answer, rival), "first_less_base": (first, base)}
    if longer is not None:
        pairs["less_ten_times_as_long"] = (answer, taken("longer", longer))
    trials, numbers = Trials(best.seed, crew), range(FIRST_FRESH, FIRST_FRESH + fresh)
    for _ in trials.run(list({trial.key: trial for pair in pairs.values() for trial in pair}.values()), numbers):
        pass
    name, figures = best.goal.measure.name, {}
    for told, pair in pairs.items():
        values = (best.goal.sign * trials.values(trial.key, name, numbers) for trial in pair)
        apart = paired_difference(*values, 0.95)
        figures[told] = {"mean": apart.mean, "half_width": apart.half_width}
    return {"measure": name, "base": best.base, "fresh_replications": fresh, **figures}


def measured(
    works: Works, seed: int, plan: SearchPlan, given: argparse.Namespace, raced: dict[str, Trial]
) -> dict[str, Any]:
    """One search, its rivals, and the claim; the best random setting is raced for once and kept."""
    crew = Crew(given.workers)
    of = searched(works, plan, crew, seed)
    best = of.best
    head = {"sets": len(best.sets_at), "levers": len(best.levers), "seed": seed, **of.took}
    if given.time_only:
        return head | {"is_no_worse": True}
    longer = None
    if not given.smoke:
        ten_times = SearchPlan(runs=10 * plan.runs, replications=4 * plan.replications)
        longer = searched(works, ten_times, crew, seed).best
    if works.name not in raced:
        count, runs = (40, best.runs) if given.smoke else (given.random or 2000, None if given.random else best.runs)
        raced[works.name] = random_best(best, Trials(best.seed, crew), count, runs)
    against = quality(of, longer, raced[works.name], 12 if given.smoke else 60, crew)
    apart = [against[name] for name in ("less_random", "less_ten_times_as_long") if name in against]
    is_no_worse = all(each["mean"] >= -each["half_width"] for each in apart)
    return (
        head
        | against
        | {
            "answer": {"parts": list(best.setting.parts), "group_past": best.setting.group_past},
            "is_no_worse": bool(is_no_worse),
        }
    )


def growth(rows: list[dict[str, Any]]) -> dict[str, float]:
    """By which power of the number of sets time, processor time and runs grow from the fewest sets to the most."""
    sets = sorted({row["sets"] for row in rows})
    if len(sets) < 2:
        return {}
    few, many = ([row for row in rows if row["sets"] == count] for count in (sets[-2], sets[-1]))
    return {
        f"power_of_{name}": math.log(
            np.mean([row[name] for row in many]) / np.mean([row[name] for row in few])
        ) / math.log(sets[-1] / sets[-2])
        for name in ("seconds", "processor_seconds", "runs")
    }  # fmt: skip


def main(arguments: list[str] | None = None) -> int:
    """Measure, print, and fail if the claim does not hold."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--smoke", action="store_true", help="a small search of short runs, to see that it works")
    parser.add_argument("--json", type=Path, help="write the figures here")
    parser.add_argument("--only", choices=list(CASES), action="append", help="these cases; all of them unless given")
    parser.add_argument("--seeds", type=int, default=3, help="seeds of each case")
    parser.add_argument("--workers", type=int, help="processes; as many as the work is worth unless given")
    parser.add_argument("--random", type=int, help="race so many random settings until one is left, whatever it takes")
    parser.add_argument("--time-only", action="store_true", help="leave the rivals out")
    given = parser.parse_args(arguments)
    prepare()
    figures: dict[str, Any] = {"python": platform.python_version(), "processors": os.cpu_count()}
    rows, raced = [], dict[str, Trial]()
    for name in given.only or (["block line"] if given.smoke else list(CASES)):
        works = CASES[name]()
        if given.smoke:
            short = works.run.model_copy(update={"length": 2.0 * works.calendar.minutes_per()["week"]})
            works = works.model_copy(update={"run": short})
        plan = SearchPlan(runs=100, replications=6, fresh=6) if given.smoke else SearchPlan()
        for seed in range(works.run.seed, works.run.seed + (1 if given.smoke else given.seeds)):
            rows.append({"case": name, **measured(works, seed, plan, given, raced)})
            print(json.dumps(rows[-1]), flush=True)
    print(json.dumps(growth(rows)), flush=True)
    if given.json is not None:
        given.json.write_text(json.dumps(figures | {"searches": rows}, indent=2) + "\n", encoding="utf-8")
    return 0 if all(row["is_no_worse"] for row in rows) else 1


if __name__ == "__main__":
    sys.exit(main())
