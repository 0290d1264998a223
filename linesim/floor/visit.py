"""What people come to a machine for in every round: loading, unloading, gauging, looking at edges."""

from __future__ import annotations

from linesim.floor.job import Job
from linesim.floor.station import Station
from linesim.plan.staffing import ATTENDED_JOBS
from linesim.plan.tally import State

__all__ = ["visit_of"]


def visit_of(machine: Station, job: str, is_wanted: bool = True) -> Job:
    """The job of whoever attends a machine; nobody's where it is not attended for that, or nobody is wanted now."""
    row = machine.site.rows.attending[machine.operation]
    people = machine.site.pools[row.by] if is_wanted and row.jobs & ATTENDED_JOBS[job] else None
    return Job(machine.env, people, machine.rank, machine, State.WAITING_FOR_OPERATOR, row.walk_min)
