"""Every lesson over its whole range of shifts: the good policy passes, the bad one fails; and how long a step takes.

    python -m tests.benchmarks.lessons [--shifts 100] [LESSON ...]

The range, shifts 1 to 100, was chosen before any of them was seen; the policies were searched for on shifts 101 and on.
Ends with 1 if a lesson does not hold.
"""

from __future__ import annotations

import argparse
import sys
import time

from linesim.training.checking import check_lesson
from linesim.training.reading import load_lesson
from linesim.training.shift import Shift
from tests.training import FILES


def slowest_step_s(shift: Shift) -> float:
    """The longest that a step of half an hour takes, with all that is shown and offered after it."""
    slowest = 0.0
    while not shift.is_over:
        before = time.perf_counter()
        shift.decide({"do": "run", "minutes": 30})
        shift.choices()
        slowest = max(slowest, time.perf_counter() - before)
    return slowest


def main() -> int:
    """Play all of them and print a row for each."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("lessons", nargs="*")
    parser.add_argument("--shifts", type=int, default=100)
    wanted = parser.parse_args()
    is_sound = True
    print(f"{'lesson':36s} good  bad best   of   least share: good  most: bad   slowest step s")
    for path in FILES:
        if wanted.lessons and not path.stem.startswith(tuple(wanted.lessons)):
            continue
        one = load_lesson(path)
        found = check_lesson(one, range(1, wanted.shifts + 1))
        is_sound &= found.is_sound
        passes = " ".join(f"{found.passes[name]:4d}" for name in ("good", "bad", "best"))
        shares = f"{min(found.shares['good']):17.3f} {max(found.shares['bad']):10.3f}"
        print(f"{found.lesson:36s} {passes} {found.shifts:4d} {shares} {slowest_step_s(Shift(one)):15.3f}", flush=True)
    return 0 if is_sound else 1


if __name__ == "__main__":
    sys.exit(main())
