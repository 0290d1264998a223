"""From the attendance of people as the scenario describes it to its tables in the plan."""

from __future__ import annotations

import math
from typing import Any, NamedTuple

import numpy as np

from linesim.plan.column_types import NONE, Floats, Ints
from linesim.plan.columns import Rows
from linesim.plan.tables import Pools
from linesim.works.model import Calendar, Works
from linesim.works.operations import Operation
from linesim.works.staffing import Attended, People

__all__ = ["ATTENDED_JOBS", "Attending", "Staffing", "add_attending", "staffing_of", "steps_from"]

ATTENDED_JOBS = {"load": 1, "unload": 2, "gauge": 4, "look": 8}
"""Bit of each job that people do at a machine in every round."""


_Step = tuple[float, int, int]
"""A minute, how many attend from then on, and the shift of the day."""


class Staffing(NamedTuple):
    """From when on how many of a pool attend, step after step through a week: at each shift's start and each break."""

    minute: Floats
    """Worked minutes from the start of the run, in its first week."""
    people: Ints
    shift: Ints
    """Shift of the day, from 0."""
    drop_week: Ints
    drop_min: Floats
    """When fewer will attend than before, the next time: in how many weeks, and minutes from the start of that one;
    infinite for never."""


class Attending(NamedTuple):
    """Who attends the machines of each operation."""

    by: Ints
    """Pool of people, or ``NONE``."""
    jobs: Ints
    """Sum of the bits of `ATTENDED_JOBS`."""
    walk_min: Floats


def add_attending(rows: Rows[Attending], operation: Operation, pools: dict[str, int]) -> None:
    """Enter the row of one operation."""
    attended = operation.attended
    if attended is None:
        rows.add(by=NONE, jobs=0, walk_min=0.0)
    else:
        rows.add(by=pools[attended.by], jobs=_jobs(operation, attended), walk_min=attended.walk)


def _jobs(operation: Operation, attended: Attended) -> int:
    """The jobs that call for somebody: loading and unloading only where they take time."""
    idle = set()
    cleans = operation.chips is not None and operation.chips.clean and operation.chips.clean_minutes.fixed != 0.0
    if operation.load.fixed == 0.0 and not cleans:
        idle.add("load")
    if operation.unload.fixed == 0.0:
        idle.add("unload")
    return sum(bit for job, bit in ATTENDED_JOBS.items() if job in attended.jobs and job not in idle)


def staffing_of(works: Works) -> dict[str, Any]:
    """Tables of the plan on pools of people, the steps of those that do not always attend alike, and their week."""
    rows, firsts, ends = Rows(Staffing), [], []
    begins_min, week_min = works.begins_min, works.calendar.minutes_per()["week"]
    for people in works.people.values():
        firsts.append(len(rows))
        if people.is_staffed:
            _add_steps(rows, steps_from(_steps(people, works.calendar), begins_min, week_min))
        ends.append(len(rows))
    pools = Pools(
        people=np.array([people.count for people in works.people.values()], dtype=np.int64),
        first_step=np.array(firsts, dtype=np.int64),
        end_step=np.array(ends, dtype=np.int64),
        hands_over=np.array([people.at_bell == "hands over" for people in works.people.values()], dtype=np.int64),
    )
    return {
        "pools": pools,
        "staffing": rows.table(),
        "shifts_per_day": works.calendar.shifts_per_day,
        "week_min": week_min,
        "calendar_min": begins_min,
        "presetters": NONE if works.crib.presetters is None else list(works.people).index(works.crib.presetters),
    }


def _steps(people: People, calendar: Calendar) -> list[_Step]:
    """Minute of the week, how many attend from then on, and the shift of the day."""
    steps = []
    for worked in range(calendar.days_per_week * calendar.shifts_per_day):
        day, shift = divmod(worked, calendar.shifts_per_day)
        begins, attending = worked * calendar.shift, people.attending(day, shift)
        in_shift = {0.0: attending}
        for rest in people.breaks:
            away, times = (1, attending) if rest.relieved else (attending, 1)
            if attending:
                in_shift[rest.after] = attending - away
                in_shift[rest.after + rest.minutes * times] = attending
        in_shift.pop(calendar.shift, None)
        steps += [(begins + after, people_then, shift) for after, people_then in sorted(in_shift.items())]
    return steps


def steps_from(steps: list[_Step], begins_min: float, week_min: float) -> list[_Step]:
    """The steps of a week as they come from a moment of it on, in minutes after that.

    Parameters
    ----------
    steps : list of (float, int, int)
        From the start of the week on: minute, how many attend from then on, shift of the day.
    begins_min, week_min : float, min
        The moment, and the length of the week.

    >>> steps_from([(0.0, 2, 0), (480.0, 1, 1)], 260.0, 960.0)
    [(0.0, 2, 0), (220.0, 1, 1), (700.0, 2, 0)]
    """
    now = next(step for step in reversed(steps) if step[0] <= begins_min)
    coming = [(minute - begins_min, people, shift) for minute, people, shift in steps if minute > begins_min]
    over = [(minute - begins_min + week_min, people, shift) for minute, people, shift in steps if minute < begins_min]
    return [(0.0, *now[1:]), *coming, *over]


def _add_steps(rows: Rows[Staffing], steps: list[_Step]) -> None:
    for number, (minute, people, shift) in enumerate(steps):
        drop_week, drop_min = _next_drop(steps, number)
        rows.add(minute=minute, people=people, shift=shift, drop_week=drop_week, drop_min=drop_min)


def _next_drop(steps: list[_Step], number: int) -> tuple[int, float]:
    """When fewer attend than in the step before, the next time after a step."""
    before = steps[number][1]
    for later in range(number + 1, number + 1 + len(steps)):
        minute, people, _ = steps[later % len(steps)]
        if people < before:
            return later // len(steps), minute
        before = people
    return 0, math.inf
