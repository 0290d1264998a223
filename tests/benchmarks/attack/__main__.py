"""Attack what a user can hand over, 100,000 times.

``python -m tests.benchmarks.attack --scenarios 90000 --books 7000 --lessons 3000`` takes about half an hour on a quiet
machine; ``--smoke`` takes some seconds. Each part stands in a module of its own and says what it has counted; the exit
code is 1 if anything came out that must not be.
"""

from __future__ import annotations

import argparse
import sys
from collections.abc import Callable, Sequence

from tests.benchmarks.attack.books import attack_books
from tests.benchmarks.attack.lessons import attack_lessons
from tests.benchmarks.attack.outcomes import Outcomes
from tests.benchmarks.attack.scenarios import attack_scenarios

PARTS: dict[str, tuple[Callable[[int, int], Outcomes], int]] = {
    "scenarios": (attack_scenarios, 200),
    "books": (attack_books, 60),
    "lessons": (attack_lessons, 40),
}
"""By name, each with what carries it out, and how many a short form reads."""


def main(arguments: Sequence[str]) -> int:
    """Carry out the parts that are asked for."""
    options = argparse.ArgumentParser(prog="python -m tests.benchmarks.attack", description=__doc__)
    for name in PARTS:
        options.add_argument(f"--{name}", type=int, default=0, metavar="N", help=f"read so many mutated {name}")
    options.add_argument("--seed", type=int, default=1, metavar="N", help="of the mutations")
    options.add_argument("--smoke", action="store_true", help="a short form of every part")
    asked = options.parse_args(arguments)
    faults: list[str] = []
    for name, (attack, few) in PARTS.items():
        number = getattr(asked, name) or (few if asked.smoke else 0)
        if number:
            outcomes = attack(number, asked.seed)
            print(f"{name}: {outcomes}", flush=True)
            faults += outcomes.faults
    print("\n".join(faults))
    return 1 if faults else 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
