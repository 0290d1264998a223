"""What every practitioner knows over every line of the demo, in 200 draws: which claims come out, how long it takes.

``python -m tests.benchmarks.practice [--draws N] [--weeks N]`` prints for each line the seconds of one processor and,
for each claim, in how many draws it holds, with the comparison that holds least often.
"""

from __future__ import annotations

import argparse
import time
from pathlib import Path

from linesim.study import StudyOptions
from linesim.study.practice import PracticeStudy
from linesim.works import changed, load_works


def main() -> None:
    """Carry it out and print it."""
    asked = argparse.ArgumentParser(description=__doc__)
    asked.add_argument("--draws", type=int, default=200)
    asked.add_argument("--weeks", type=int, default=4)
    given = asked.parse_args()
    for path in sorted(Path("scenarios").glob("*-line.yaml")):
        works = changed(load_works(path), {"run": {"length": f"{given.weeks} weeks"}})
        began_s = time.process_time()
        answer = PracticeStudy(works, options=StudyOptions(given.draws)).run()
        print(f"{path.name}: {time.process_time() - began_s:.0f} s of one processor", flush=True)
        for row in answer.claims.to_dict(orient="records"):
            share = f"{row['holds']} of {row['draws']}" if row["applies"] else "does not apply"
            print(f"  ({row['claim']}) {share:>15}  {row['why']}", flush=True)


if __name__ == "__main__":
    main()
