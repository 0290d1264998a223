"""Rosters and jobs of people as a run begins."""

from __future__ import annotations

import math

import numpy as np

from linesim.fast.arrays import AnyArray, Arrays
from linesim.fast.memory import records
from linesim.fast.people_state import Job, Roster
from linesim.plan.tables import NONE

__all__ = ["entries_of_rosters", "lay_rosters"]


def lay_rosters(layout: Arrays) -> None:
    """A roster for each pool of people who do not always attend alike or attend machines; the jobs of all machines."""
    plan, w, pools = layout.plan, layout.world, layout.arrays["pools"]
    firsts, ends = plan.pools.first_step, plan.pools.end_step
    attends = np.isin(np.arange(len(firsts)), plan.attending.by)
    numbers = np.flatnonzero((firsts < ends) | attends)
    rosters = layout.keep("rosters", records(Roster, len(numbers)))
    pools["roster"] = NONE
    w.n_rosters, w.shifts_per_day = len(numbers), plan.shifts_per_day
    w.week_min, w.calendar_min = plan.week_min, plan.calendar_min
    at = numbers + int(w.grinders) + 1
    pools["roster"][at] = np.arange(len(numbers))
    laid = rosters[: len(numbers)]
    laid["pool"], laid["first_lingering"] = at, NONE
    laid["first_step"], laid["end_step"] = firsts[numbers], ends[numbers]
    laid["hands_over"] = plan.pools.hands_over[numbers]
    laid["next_drop_min"], laid["last_drop_min"] = math.inf, -math.inf
    is_staffed = numbers[firsts[numbers] < ends[numbers]]
    pools["capacity"][is_staffed + int(w.grinders) + 1] = plan.staffing.people[firsts[is_staffed]]
    pools["free"][at] = pools["capacity"][at]
    layout.arrays["machines"]["here"] = NONE
    # Sets have their claims behind those of machines and mounts.
    of_sets = 0 if plan.presetters == NONE else int(w.n_mounts + w.n_sets)
    layout.keep("jobs_at_hand", records(Job, int(w.n_machines) + of_sets))


def entries_of_rosters(layout: Arrays) -> int:
    """Most entries of rosters in the agenda at a time: the next step of each, and those who walk."""
    walks = layout.plan.attending.by[layout.plan.attending.walk_min > 0.0]
    return int(layout.world.n_rosters) + sum(_most(layout, pool) for pool in np.unique(walks).tolist())


def _most(layout: Arrays, pool: int) -> int:
    """Most people of a pool who ever attend."""
    pools = layout.plan.pools
    steps: AnyArray = layout.plan.staffing.people[pools.first_step[pool] : pools.end_step[pool]]
    return int(steps.max() if len(steps) else pools.people[pool])
