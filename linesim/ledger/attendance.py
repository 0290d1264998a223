"""How long people attend: as many as there are, or by their shifts, with what they work beyond the bell."""

from __future__ import annotations

import numpy as np

from linesim.plan.plan import Plan
from linesim.plan.tables import Floats
from linesim.plan.tally import Tally

__all__ = ["attendance_min"]


def attendance_min(plan: Plan, tally: Tally) -> Floats:
    """Minutes of people in the counted time, by pool, the tool grinders last.

    Parameters
    ----------
    plan, tally : Plan, Tally
        What was run, and what it left behind.

    Returns
    -------
    array of float, (pools + 1,), min
        Where not always as many attend, those who attend by their shifts and, beside them, those who work on with a job
        in hand; breaks that all have at once are not in it.
    """
    alike = np.append(plan.pools.people, plan.grinders) * tally.counted_min
    by_shift = (tally.shift_attended_min + tally.shift_beyond_min).sum(axis=1)
    return np.where(np.append(plan.pools.first_step < plan.pools.end_step, False), by_shift, alike)
