"""Beginning with the smallest of all lines, so that the kernels of a tier are compiled or loaded."""

from __future__ import annotations

from linesim.fast.counting import count_from_now, sum_up
from linesim.fast.kernels import KERNELS
from linesim.fast.pattern import Pattern, Working
from linesim.plan.build import make_plan
from linesim.works import works_from_dict

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
    kernel.begin(working.address, pattern.n_mounted)
    kernel.run_on(working.address, 0.0, 1)
    count_from_now(working.address)
    sum_up(working.address)
