"""The kernels that Python calls: the same text for each tier of plans, see `linesim.fast.tiers`."""

from __future__ import annotations

from collections.abc import Callable
from typing import NamedTuple

from linesim.fast.drawers import world_at
from linesim.fast.kernel import begin_world, run_world
from linesim.fast.tiers import COMMON, SMALL, WHOLE
from linesim.law import law

__all__ = ["KERNELS", "Kernel"]

_common_at = COMMON.drawers.get(world_at, world_at)
_small_at = SMALL.drawers.get(world_at, world_at)


@law
def run_on_whole(world: int, until: float, budget: int) -> int:
    """Run until a moment, or for so many turns; what is due at that moment has not happened yet.

    Parameters
    ----------
    world : int
        Address of the world.
    until : float
        Minutes from the start.
    budget : int
        Most turns.

    Returns
    -------
    int
        ``GO_ON`` if the budget is used up, ``DONE``, ``FULL`` or ``TRACE_FULL`` if an array must grow, or what keeps
        the run from ever ending: ``CIRCLE``, ``ARRIVALS``, ``BREAKDOWNS``, ``CROWDED``.
    """
    return run_world(world_at(world, 0), until, budget)


@law
def begin_whole(world: int, first_shelved: int) -> None:
    """Mount the first sets, let all begin; sets from number ``first_shelved`` on are not mounted."""
    begin_world(world_at(world, 0), first_shelved)


@law
def run_on_common(world: int, until: float, budget: int) -> int:
    """As `run_on_whole`, for `COMMON`."""
    return run_world(_common_at(world, 0), until, budget)


@law
def begin_common(world: int, first_shelved: int) -> None:
    """As `begin_whole`, for `COMMON`."""
    begin_world(_common_at(world, 0), first_shelved)


@law
def run_on_small(world: int, until: float, budget: int) -> int:
    """As `run_on_whole`, for `SMALL`."""
    return run_world(_small_at(world, 0), until, budget)


@law
def begin_small(world: int, first_shelved: int) -> None:
    """As `begin_whole`, for `SMALL`."""
    begin_world(_small_at(world, 0), first_shelved)


class Kernel(NamedTuple):
    """The kernels of one tier."""

    begin: Callable[[int, int], None]
    run_on: Callable[[int, float, int], int]


KERNELS = {
    WHOLE: Kernel(begin_whole, run_on_whole),
    COMMON.name: Kernel(begin_common, run_on_common),
    SMALL.name: Kernel(begin_small, run_on_small),
}
"""The kernels of each tier, by its name."""
