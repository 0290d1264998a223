"""Beginning with the smallest of all lines, so that the kernels of a tier are compiled or loaded.

``python -m linesim.fast.warming FILE ...`` compiles what the policies of these scenarios take, or else what most take.
"""

from __future__ import annotations

import sys

from linesim.fast.counting import count_from_now, sum_up
from linesim.fast.kernels import KERNELS
from linesim.fast.pattern import Pattern, Working
from linesim.fast.run import tier_of_plan
from linesim.fast.tiers import COMMON
from linesim.plan.build import make_plan
from linesim.works import load_works, works_from_dict

__all__ = ["warm_up"]

_SMALLEST = {
    "name": "smallest",
    "run": {"length": 1, "warm_up": 0},
    "lines": {"line": {"operations": {"Op 10": {"minutes": 2}}}},
    "policies": {"run out": {"default": "run out"}},
}


def warm_up(tier: str) -> None:
    """Have all kernels of a tier in memory.

    Parameters
    ----------
    tier : str
        Its name, see `linesim.fast.tiers`.
    """
    pattern = Pattern(make_plan(works_from_dict(_SMALLEST, "smallest"), "run out"), 16, 0)
    working, kernel = Working(pattern, 0, 0), KERNELS[tier]
    kernel.begin(working.address, pattern.mould.n_mounted)
    kernel.run_on(working.address, 0.0, 1)
    count_from_now(working.address)
    sum_up(working.address)


if __name__ == "__main__":
    asked = [load_works(name) for name in sys.argv[1:]]
    tiers = {tier_of_plan(make_plan(works, policy)) for works in asked for policy in works.policies}
    for tier in sorted(tiers or {COMMON.name}):
        warm_up(tier)
