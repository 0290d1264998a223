"""This edition against another one: ``python -m tests.benchmarks.editions FOLDER [--rounds N] [--json FILE]``.

FOLDER is a checkout of the other edition (``git worktree add FOLDER COMMIT``). Each edition runs its lines on its own
compiled engine in a process of its own, the two in turn, round after round; the quickest of each counts, in processor
time for each part that went through an operation. Run it on a machine that does nothing else.

Two targets: a line of the other edition, which names nothing that is new, is not slower here than there (1.05 of the
time at most); and a line of this edition, with all that is new, takes at most twice the time of that one there.
"""

from __future__ import annotations

import argparse
import json
import os
import subprocess
import sys
from collections.abc import Sequence
from pathlib import Path
from typing import NamedTuple

from tests.benchmarks.contest import Row, Target, at_most, show

__all__ = ["main"]

_HERE = Path(__file__).parents[2]
_LINES = ("block-line", "crankcase-line", "head-line")
_YEAR_MIN = 48 * 5 * 2 * 480.0
_RUNS = 12
"""In one process; the first of them also finds its kernel."""

_SCRIPT = """
import sys, time
from dataclasses import replace
from linesim.fast.run import run_fast
from linesim.plan.build import make_plan
from linesim.works import load_works
works = load_works(sys.argv[1])
name = "full life" if "full life" in works.policies else next(iter(works.policies))
plan = replace(make_plan(works, name), warm_up_min=0.0, length_min=float(sys.argv[2]))
best = float("inf")
for run in range(int(sys.argv[3])):
    began = time.process_time()
    tally = run_fast(plan, 1, 0)
    best = min(best, time.process_time() - began)
print(1e9 * best / int(tally.worked.sum()))
"""


class Entrant(NamedTuple):
    """Whose engine runs whose line."""

    engine: Path
    scenario: Path


def nanoseconds(of: Entrant, length_min: float, runs: int) -> float:
    """Processor time for each part through an operation, of the quickest of some runs in a process of its own, ns."""
    command = [sys.executable, "-P", "-c", _SCRIPT, str(of.scenario), str(length_min), str(runs)]
    environment = {**os.environ, "PYTHONPATH": str(of.engine)}
    done = subprocess.run(command, env=environment, capture_output=True, text=True, check=False)
    if done.returncode:
        raise SystemExit(f"{of.engine} cannot run {of.scenario}:\n{done.stderr}")
    return float(done.stdout.split()[-1])


def compared(other: Path, rounds: int, length_min: float = _YEAR_MIN) -> tuple[list[Row], list[Target]]:
    """Each line of the other edition on both engines, and the same line of this edition on this one's."""
    rows: list[Row] = []
    targets: list[Target] = []
    for line in _LINES:
        before, now = (root / "scenarios" / f"{line}.yaml" for root in (other, _HERE))
        entrants = {"there": Entrant(other, before), "here": Entrant(_HERE, before), "all of it": Entrant(_HERE, now)}
        took = dict.fromkeys(entrants, float("inf"))
        for _ in range(rounds):
            for name, of in entrants.items():
                took[name] = min(took[name], nanoseconds(of, length_min, _RUNS))
        rows += [{"what": f"{line}, {name}", "ns_per_part_operation": ns} for name, ns in took.items()]
        targets.append(at_most(f"{line} of the other edition: times there", took["here"] / took["there"], 1.05))
        targets.append(at_most(f"{line} with all that is new: times there", took["all of it"] / took["there"], 2.0))
    return rows, targets


def main(arguments: Sequence[str] | None = None) -> None:
    """Print the comparison."""
    parser = argparse.ArgumentParser(description=str(__doc__).partition("\n")[0])
    parser.add_argument("folder", type=Path, help="a checkout of the other edition")
    parser.add_argument("--rounds", type=int, default=4)
    parser.add_argument("--json", type=Path, metavar="FILE")
    options = parser.parse_args(arguments)
    rows, targets = compared(options.folder.resolve(), options.rounds)
    show(rows, targets)
    if options.json:
        content = {"rows": rows, "targets": targets}
        options.json.write_text(json.dumps(content, indent=1) + "\n", encoding="utf-8")


if __name__ == "__main__":
    main()
