"""Running the smallest of all lines once, so that every kernel is compiled or loaded."""

from __future__ import annotations

from linesim.fast.run import run_fast
from linesim.plan.build import make_plan
from linesim.works import works_from_dict

__all__ = ["warm_up"]

_SMALLEST = {
    "name": "smallest",
    "run": {"length": 1, "warm_up": 0},
    "lines": {"line": {"operations": {"Op 10": {"minutes": 2}}}},
    "policies": {"run out": {"default": "run out"}},
}


def warm_up() -> None:
    """Have all kernels in memory."""
    run_fast(make_plan(works_from_dict(_SMALLEST, "smallest"), "run out"), 0, 0)
