"""Attack what a user can hand over: ``python -m tests.benchmarks.attack --scenarios 100000 --seed 1``.

Bounded, and started by hand; ``--smoke`` takes some seconds. Each part stands in a module of its own and says what it
has counted; the exit code is 1 if anything came out that must not be.
"""

from __future__ import annotations

import argparse
import sys

from tests.benchmarks.attack.scenarios import attack_scenarios

_SMOKE = 200


def main() -> int:
    """Carry out the parts that are asked for."""
    options = argparse.ArgumentParser(prog="python -m tests.benchmarks.attack", description=__doc__)
    options.add_argument("--scenarios", type=int, default=0, metavar="N", help="read so many mutated scenarios")
    options.add_argument("--seed", type=int, default=1, metavar="N", help="of the mutations")
    options.add_argument("--smoke", action="store_true", help="a short form of every part")
    asked = options.parse_args()
    faults: list[str] = []
    number = asked.scenarios or (_SMOKE if asked.smoke else 0)
    if number:
        outcomes = attack_scenarios(number, asked.seed)
        counts = ", ".join(f"{count} {kind}" for kind, count in sorted(outcomes.counts.items()))
        print(f"scenarios: {counts}; the slowest took {outcomes.worst_s:.2f} s")
        faults += outcomes.faults
    print("\n".join(faults))
    return 1 if faults else 0


if __name__ == "__main__":
    sys.exit(main())
