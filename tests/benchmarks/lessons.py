"""Every lesson over its whole range of shifts: who passes, who takes its own decision, how long a step takes.

    python -m tests.benchmarks.lessons [--shifts 100] [--drawn 20] [LESSON ...]

The range, shifts 1 to 100, was chosen before any of them was seen; the policies were searched for on shifts 101 and on.
A mark lies in the middle between the worst shift of the good and the best found policy and the best shift of the bad
one; the line under each lesson says between what. Where money alone does not part them, the decision does, and the mark
of money lies just under the worst of those who have to pass. Ends with 1 if a lesson does not hold, or if one of the
standing orders that are drawn blindly passes without the decision.
"""

from __future__ import annotations

import argparse
import sys
import time

from linesim.training.checking import check_lesson, margins
from linesim.training.reading import load_lesson
from linesim.training.search import drawn_policies
from linesim.training.shift import Shift
from tests.training import DRAWN_SEED, FILES


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
    """Play all of them and print a row for each, and a line for each mark."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("lessons", nargs="*")
    parser.add_argument("--shifts", type=int, default=100)
    parser.add_argument("--drawn", type=int, default=20)
    wanted = parser.parse_args()
    is_sound = True
    print(f"{'lesson':36s} good  bad best plan   of  drawn: passed decided   slowest step s   shifts s")
    for path in FILES:
        if wanted.lessons and not path.stem.startswith(tuple(wanted.lessons)):
            continue
        one, begun_s = load_lesson(path), time.perf_counter()
        drawn = drawn_policies(one, wanted.drawn, DRAWN_SEED)
        answer = check_lesson(one, range(1, wanted.shifts + 1), drawn)
        took_s = time.perf_counter() - begun_s
        is_sound &= answer.is_sound and all(answer.passes[name] <= answer.decided[name] for name in drawn)
        passes = " ".join(f"{answer.passes[name]:4d}" for name in ("good", "bad", "best", "the plan"))
        blind = [100.0 * sum(count[name] for name in drawn) / max(len(drawn) * answer.shifts, 1)
                 for count in (answer.passes, answer.decided)]  # fmt: skip
        row = f"{answer.lesson:36s} {passes} {answer.shifts:4d}        {blind[0]:4.0f} %  {blind[1]:4.0f} %"
        print(f"{row} {slowest_step_s(Shift(one)):15.3f} {took_s:10.1f}")
        for margin in margins(one, answer):
            parted = "" if margin.parts_them else "   DOES NOT PART THEM"
            ends = f"must pass {margin.passing:8.3f}, must fail {margin.failing:8.3f}, middle {margin.middle:8.3f}"
            print(f"    {margin.mark.words:48s} {ends}{parted}", flush=True)
    return 0 if is_sound else 1


if __name__ == "__main__":
    sys.exit(main())
