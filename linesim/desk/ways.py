"""How many parts an hour the way to an operation lets through, if nothing stands at its end."""

from __future__ import annotations

import math

from linesim.plan.plan import Plan
from linesim.plan.shape_tables import Way
from linesim.plan.tables import NONE, UNLIMITED
from linesim.plan.times import row_minutes

__all__ = ["way_per_hour"]


def way_per_hour(plan: Plan, number: int, machines: int, minutes: float) -> float:
    """Parts an hour that can come to an operation on its way, infinite where the way holds nothing back.

    Parameters
    ----------
    plan, number : Plan, int
        The operation in its plan.
    machines : int
        That it has.
    minutes : float, min
        That a part takes of one of them.

    Returns
    -------
    float
        Of a conveyor by speed and pitch, of carriers by the way there and back. Minutes alone: a part sets out when
        there is room before the operation or a machine waits for it, so that no more parts than both hold are on their
        way, waiting and worked on together; each of them takes the minutes of the way and of the machine.
    """
    moves = plan.moves
    way, there_min = Way(moves.way[number]), row_minutes(plan.times, int(moves.time[number]))
    if way is Way.CONVEYOR:
        return _per_hour(1.0, float(moves.gap_min[number]))
    if way is Way.CARRIERS:
        back = int(moves.back_time[number])
        back_min = there_min if back == NONE else row_minutes(plan.times, back)
        return _per_hour(float(moves.carriers[number]), there_min + back_min)
    room = int(moves.room[number])
    if way is Way.AT_ONCE or room == UNLIMITED or there_min == 0.0:
        return math.inf
    return _per_hour(machines + room, minutes + there_min)


def _per_hour(parts: float, minutes: float) -> float:
    return 60.0 * parts / minutes if minutes > 0.0 else math.inf
