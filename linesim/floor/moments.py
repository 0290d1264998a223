"""Waiting for a moment of the clock."""

from __future__ import annotations

from heapq import heappush

import simpy
from simpy.events import Event

__all__ = ["at_moment"]

_NORMAL = 1


def at_moment(env: simpy.Environment, minute: float) -> Event:
    """An event that happens at a moment, minutes from the start.

    SimPy's own timeout would come at now + (minute - now), which can miss the moment by the last bit.
    """
    event = Event(env)
    event._ok, event._value = True, None  # noqa: SLF001
    heappush(env._queue, (minute, _NORMAL, next(env._eid), event))  # type: ignore[misc] # noqa: SLF001
    return event
