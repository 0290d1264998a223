"""Work on a machine that stands for it: people are claimed, the work takes its minutes, and they are free again."""

from __future__ import annotations

from collections.abc import Generator
from typing import Any

from simpy.events import Event

from linesim.floor.job import Job
from linesim.floor.station import Station
from linesim.plan.tables import NONE
from linesim.plan.tally import State

__all__ = ["attended"]

Steps = Generator[Event, Any, Any]


def attended(machine: Station, pool: int, waiting: State, working: State, minutes: float) -> Steps:
    """Let somebody of a pool work on a machine.

    Parameters
    ----------
    machine : Station
        Stands meanwhile.
    pool : int
        Number of the pool in the plan; ``NONE`` where nobody is needed.
    waiting, working : State
        What the machine does until somebody comes, and then.
    minutes : float
        Of the work, 0 or more.
    """
    job = Job(machine.env, None if pool == NONE else machine.site.pools[pool], machine.rank, machine, waiting)
    yield from job.come()
    machine.enter(working)
    yield from job.work(minutes)
    job.end()
