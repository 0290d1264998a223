"""How a machine spends its time, and whom it tells."""

from __future__ import annotations

from collections.abc import Generator
from typing import Any

from simpy.events import Event

from linesim.chance import Purpose
from linesim.floor.job import Job
from linesim.floor.part import Part
from linesim.floor.site import Site
from linesim.plan.tables import NONE
from linesim.plan.tally import State

__all__ = ["TimeAtMachine"]

Steps = Generator[Event, Any, Any]


class TimeAtMachine:
    """The state of a machine, and since when it is in it.

    Parameters
    ----------
    site : Site
        The floor it stands on.
    index : int
        Number of the machine in the plan.
    """

    def __init__(self, site: Site, index: int) -> None:
        self.site, self.env, self.index = site, site.env, index
        row = site.rows.machines[index]
        self.operation: int = row.operation
        self.spec = site.rows.operations[row.operation]
        self.rank: tuple[int, ...] = (self.spec.rank, row.number)
        self.state = State.WAITING_FOR_PART
        self.state_since = self.last_entry = 0.0
        self._nobody = Job(self.env, None, self.rank)

    def enter(self, state: State) -> None:
        """Begin to do something else."""
        now = self.env.now
        self.site.tally.state_min[self.index, self.state] += now - self.state_since
        self.state = state
        self.state_since = self.last_entry = now
        for watcher in self.site.watchers:
            watcher.machine_enters(now, self.index, state)

    def spend(self, part: Part, time: int, purpose: Purpose, spot: int, index: int, job: Job | None = None) -> Steps:
        """Let a length of time pass that is put into the part (cleaning, loading, unloading, gauging)."""
        if time == NONE:
            return
        minutes = self.site.timing.minutes(time, purpose, spot, index)
        if minutes > 0.0:
            part.spent_min[part.position] += minutes
            yield from (job or self._nobody).work(minutes)

    def tell(self, part: Part, what: str) -> None:
        """Tell all that listen that a part has moved."""
        for watcher in self.site.watchers:
            watcher.part_moves(self.env.now, part, self.operation, self.index, what)
