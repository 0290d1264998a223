"""Table and sentences on people who come and go: who worked in which shift, and what stood until somebody came."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from functools import reduce
from typing import NamedTuple

import numpy as np
import pandas as pd

from linesim.ledger.stations import Station, stations_of
from linesim.plan.plan import Plan
from linesim.plan.tables import Floats
from linesim.plan.tally import State, Tally
from linesim.result.floor_tables import by_operation
from linesim.words import keep
from linesim.works.model import Calendar, Works
from linesim.works.staffing import DAYS, People
from linesim.works.walks import callers_of

__all__ = ["StaffedShift", "staffed_shifts", "staffing_columns", "staffing_sentences", "staffing_table"]

_NOBODY_WORTH_SAYING = 0.01
"""Share of their time that machines stand while nobody attends before it is remarked upon (common practice)."""

_OPERATOR_WORTH_SAYING = 0.10
"""Share of their time that machines wait for an operator before it is remarked upon (common practice)."""


def staffing_table(works: Works, plan: Plan, tally: Tally) -> pd.DataFrame:
    """One row for each shift of each pool of which not always as many attend.

    Returns
    -------
    DataFrame
        pool, shift (of the day, from 1); attended_min (minutes of people as the staffing has them, breaks that all have
        at once left aside), worked_min (of them and of those who work on beyond the bell), beyond_min (of these, beyond
        the bell), free_min (neither), waited_min (minutes for which somebody was waited for, one wait beside another).
    """
    rows = staffed_shifts(works, plan)
    named = {"pool": [row.pool for row in rows], "shift": [row.shift for row in rows]}
    return pd.DataFrame({**named, **staffing_columns(works, tally)})


class StaffedShift(NamedTuple):
    """One shift of the day, from 1, of a pool of which not always as many attend."""

    pool: str
    shift: int


def staffed_shifts(works: Works, plan: Plan) -> list[StaffedShift]:
    """The rows of the table on people by shift."""
    pools = [name for name, people in works.people.items() if people.is_staffed]
    return [StaffedShift(pool, shift) for pool in pools for shift in range(1, plan.shifts_per_day + 1)]


def staffing_columns(works: Works, tally: Tally) -> dict[str, Floats]:
    """The figures of the table on people by shift, each a column."""
    pools = [at for at, people in enumerate(works.people.values()) if people.is_staffed]
    attended, beyond = tally.shift_attended_min[pools].ravel(), tally.shift_beyond_min[pools].ravel()
    worked = tally.shift_busy_min[pools].ravel()
    return {
        "attended_min": attended,
        "worked_min": worked,
        "beyond_min": beyond,
        "free_min": np.maximum(attended + beyond - worked, 0.0),
        "waited_min": tally.shift_queue_min[pools].ravel(),
    }


def staffing_sentences(works: Works, plan: Plan, tally: Tally) -> Iterator[str]:
    """Which machines stood because nobody attended, and which waited for an operator, with whom he attends beside."""
    stations = stations_of(works, plan)
    nobody_min = by_operation(plan, tally.nobody_min)
    operator_min = by_operation(plan, tally.state_min)[:, State.WAITING_FOR_OPERATOR]
    for station in stations:
        time_min = (station.machines.stop - station.machines.start) * tally.counted_min
        absent = _absent(works, station)
        if absent and nobody_min[station.number] > _NOBODY_WORTH_SAYING * time_min:
            minutes = nobody_min[station.number]
            yield keep(
                "findings.nobody", operation=station.location.operation, absent=absent, minutes=minutes,
                share=100.0 * minutes / time_min,
            )  # fmt: skip
        if operator_min[station.number] > _OPERATOR_WORTH_SAYING * time_min:
            share = 100.0 * operator_min[station.number] / time_min
            yield from _waits_for_operators(stations, station, share)


def _waits_for_operators(stations: list[Station], station: Station, share: float) -> Iterator[str]:
    """How long machines wait for those who attend them, and who wants these as well."""
    attended = station.spec.attended
    if attended is None:
        return
    others = [
        keep("justify.quoted", name=other.location.operation)
        for other in stations
        if other is not station and attended.by in callers_of(other.spec)
    ]
    busy = {"others": _chained("format.and", others)} if others else {}
    key = "findings.operators_beside" if others else "findings.operators"
    yield keep(key, operation=station.location.operation, share=share, pool=attended.by, **busy)


def _chained(key: str, texts: Sequence[str]) -> str:
    """Texts one after another, each joined to those before it."""
    first, *others = texts
    return reduce(lambda before, last: keep(key, first=before, last=last), others, first)


def _absent(works: Works, station: Station) -> str:
    """When nobody of the pools that are called to an operation attends, in words; empty if somebody always does."""
    words = []
    for pool in callers_of(station.spec):
        when = _when_nobody(works.people[pool], works.calendar)
        if when:
            words.append(keep("findings.absent_of", when=_chained("format.and", when), pool=pool))
    return _chained("findings.and", words) if words else ""


def _when_nobody(people: People, calendar: Calendar) -> list[str]:
    """Shifts of the day, shifts of certain days, and breaks in which nobody of a pool attends."""
    days = range(calendar.days_per_week)
    words: list[str] = []
    for shift in range(calendar.shifts_per_day):
        away = [day for day in days if people.attending(day, shift) == 0]
        if len(away) == len(days):
            words.append(keep("findings.in_shift", shift=shift + 1))
        elif away:
            named = [keep(f"days.{DAYS[day]}") for day in away]
            words.append(keep("findings.in_shift_of", shift=shift + 1, days=named))
    if any(not rest.relieved or max(calendar.attending(people)) == 1 for rest in people.breaks):
        words.append(keep("findings.in_breaks"))
    return words
