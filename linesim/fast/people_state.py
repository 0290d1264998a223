"""The state of people beside their pool: the shifts of those who do not always attend alike, and jobs at machines."""

from __future__ import annotations

from linesim.fast.short import Short

__all__ = ["Job", "Roster"]


class Roster:
    """Shifts of a pool of people, and those of them who are done at a machine and may stay."""

    pool: int
    first_step: int
    end_step: int
    """Range of its steps in ``staffing``; empty where always as many attend."""
    step: int
    week: int
    hands_over: int
    next_drop_min: float
    last_drop_min: float
    """When fewer will attend the next time, and when that was last; infinite, and minus infinity, for never and where
    jobs in hand are finished."""
    changed_min: float
    absent_min: float
    """When the number of those who attend changed last, and minutes in which nobody did, up to then."""
    beyond_min: float
    counted_min: float
    mark_beyond_min: float
    mark_busy_min: float
    mark_queue_min: float
    """What had been counted when the step began."""
    first_lingering: int
    """The first machine at which one of them is done at this instant."""


class Job:
    """What people are called for at a machine; each machine and bench has one."""

    since_min: float
    """When somebody was asked for first, by which the turn goes."""
    from_min: float
    given_min: float
    """Since when somebody is waited for, and when he came."""
    absent_min: float
    """Minutes in which nobody of the pool attended, up to when the machine began to wait."""
    left_min: float
    lingers_since_min: float
    """As ``since_min``, for the visit that has just ended."""
    then: Short
    """The step after the work."""
    waits: Short
    works: Short
    """What the machine does while it waits for somebody and while he works."""
    is_again: Short
    is_waiting: Short
    next_lingering: Short
