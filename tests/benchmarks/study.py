"""How soon a study is done: 40 policies, 20 replications, 4 weeks of the block line, on one worker, two, and more.

``python -m tests.benchmarks.study`` prints runs per second and the time to the first interim answer; ``--json FILE``
writes it; ``--smoke`` takes a small part of it and only sees to it that it works. The target is that two workers on
two processors do at least 1.8 times the runs of one. Workers are warm: they have run something before.

The first interim answer is there when every policy has been run once, the earliest moment at which all of them can be
set against each other.

Beside it stands ``linesim compare`` of the block line as a user calls it, from the shell to the last line: everything
compiled, no run of it in a store yet, the median of seven calls. The target is 2.5 s on an idle machine.
"""

from __future__ import annotations

import argparse
import json
import os
import statistics
import subprocess
import sys
import time
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any

from linesim.cli.guard import FOUND_PROBLEM
from linesim.starting import python
from linesim.store import open_store
from linesim.study.crew.crew import Crew
from linesim.study.crew.outcome import Task
from linesim.study.crew.sending import processors
from linesim.works import Works, changed, load_works
from linesim.works.policies import Policy

SCENARIO = Path(__file__).resolve().parents[2] / "scenarios" / "block-line.yaml"


def trials(count: int, weeks: int) -> list[tuple[str, Works]]:
    """The block line under so many policies: every set at a share of its life, in equal steps from 0.3 to 1.3."""
    works = changed(load_works(SCENARIO), {"run": {"length": f"{weeks} weeks", "warm_up": "1 week"}})
    shares = [0.3 + at / max(count - 1, 1) for at in range(count)]
    policies = {f"{share:.3f} of life": Policy.model_validate({"default": {"life": share}}) for share in shares}
    trial = works.model_copy(update={"policies": policies})
    return [(name, trial) for name in policies]


def measured(workers: int, alternatives: list[tuple[str, Works]], replications: int, store: Path | None) -> Any:
    """Runs per second, and seconds to the first interim answer."""
    tasks = [
        Task(works, name, 1, replication, (), "fast")
        for replication in range(replications)
        for name, works in alternatives
    ]
    opened = None if store is None else open_store(store)
    began = time.perf_counter()
    first_s, seen, runs = None, set(), 0
    for number, _ in Crew(workers, opened).runs(tasks):
        runs += 1
        seen.add(tasks[number].policy)
        if first_s is None and len(seen) == len(alternatives):
            first_s = time.perf_counter() - began
    took_s = time.perf_counter() - began
    if opened is not None:
        opened.close()
    assert runs == len(tasks)
    return {"workers": workers, "runs": runs, "took_s": took_s, "runs_per_s": runs / took_s, "first_answer_s": first_s}


def called_s(times: int) -> float:
    """Seconds of ``linesim compare``, in the middle of so many calls after the first, each with a store of its own."""
    took = []
    with TemporaryDirectory() as folder:
        for turn in range(times + 1):
            began = time.perf_counter()
            words = python("-m", "linesim", "compare", str(SCENARIO), "--store", f"{folder}/{turn}.sqlite")
            done = subprocess.run(words, stdout=subprocess.DEVNULL, check=False)
            took.append(time.perf_counter() - began)
            assert done.returncode in (0, FOUND_PROBLEM)
    return statistics.median(took[1:])


def main() -> int:
    """Measure, print, and write."""
    asked = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    asked.add_argument("--json", type=Path, metavar="FILE", help="write the figures here")
    asked.add_argument("--smoke", action="store_true", help="a small part, to see that it works")
    asked.add_argument("--workers", type=int, nargs="+", default=[1, 2], help="processes (1 2)")
    asked.add_argument("--times", type=int, default=3, help="measure so often, and take the best (3)")
    asked.add_argument("--store", type=Path, metavar="FILE", help="keep the runs in a new store as well")
    options = asked.parse_args()
    count, replications, weeks = (4, 3, 1) if options.smoke else (40, 20, 4)
    alternatives = trials(count, weeks)
    best: dict[int, Any] = {}
    for workers in options.workers:
        measured(workers, alternatives, 1, None)  # warm
        for turn in range(1 if options.smoke else options.times):
            place = None if options.store is None else options.store.with_suffix(f".{workers}-{turn}.sqlite")
            found = measured(workers, alternatives, replications, place)
            if workers not in best or found["runs_per_s"] > best[workers]["runs_per_s"]:
                best[workers] = found
    first, *others = options.workers
    gains = {workers: best[workers]["runs_per_s"] / best[first]["runs_per_s"] for workers in others}
    print(f"{count} policies x {replications} replications x {weeks} weeks; {processors()} processors,", end=" ")
    print(f"load {os.getloadavg()[0]:.1f}" if hasattr(os, "getloadavg") else "load not known")
    for found in best.values():
        print(
            f"{found['workers']} workers: {found['runs_per_s']:7.1f} runs/s, all in {found['took_s']:6.2f} s, "
            f"first interim answer after {found['first_answer_s']:.2f} s"
        )
    for workers, gain in gains.items():
        print(f"{workers} workers do {gain:.2f} times the runs of {first} (wanted of two on two idle processors: 1.8)")
    compare_s = called_s(1 if options.smoke else 7)
    print(f"linesim compare {SCENARIO.name}, everything compiled: {compare_s:.2f} s (wanted on an idle machine: 2.50)")
    if options.json is not None:
        found = {"workers": list(best.values()), "gains": gains, "compare_s": compare_s}
        options.json.write_text(json.dumps(found, indent=2), encoding="utf-8")
    return 0


if __name__ == "__main__":
    sys.exit(main())
