"""Castings that arrive one by one."""

from __future__ import annotations

from linesim.fast import codes, steps
from linesim.fast.agenda import enter_in_agenda
from linesim.fast.castings import casting
from linesim.fast.common import call, minutes_of
from linesim.fast.compiled import compiled, inlined
from linesim.fast.drawers import line_at, pool_at
from linesim.fast.standing import stand
from linesim.fast.state import World
from linesim.floor.circles import MOST_ARRIVALS


@compiled
def arrive(w: World, line: int) -> None:
    """A casting arrives, and the next one sets out."""
    row = line_at(w.lines, line)
    row.arrived += 1
    row.at_once = row.at_once + 1 if row.last_arrival_min == w.now else 1
    row.last_arrival_min = w.now
    if row.at_once > MOST_ARRIVALS:
        w.trouble, w.culprit = steps.ARRIVALS, line
        return
    stand(w, pool_at(w.pools, row.yard), casting(w, line))
    call(w, row.yard)
    send_next(w, line)


@inlined
def send_next(w: World, line: int) -> None:
    """The next casting sets out, if there is one."""
    row = line_at(w.lines, line)
    if row.arrived < row.limit:
        minutes = minutes_of(w, row.arrival_time, codes.PURPOSE_ARRIVAL, line, row.arrived)
        enter_in_agenda(w, w.now + minutes, w.n_machines + w.n_sets + line)
