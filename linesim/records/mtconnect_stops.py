"""Stops and running time from the Execution of a machine, as MTConnect words it."""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import date, datetime, time, timedelta

__all__ = [
    "ACTIVE",
    "STATES",
    "UNAVAILABLE",
    "UNKNOWN_LENGTH",
    "Period",
    "merged_spans",
    "periods_of",
    "running_by_day",
    "stop_rows",
]

ACTIVE, UNAVAILABLE = "ACTIVE", "UNAVAILABLE"
STATES = (
    ACTIVE, "READY", "INTERRUPTED", "FEED_HOLD", "STOPPED", "OPTIONAL_STOP", "PROGRAM_STOPPED", "PROGRAM_COMPLETED",
    "PROGRAM_OPTIONAL_STOP", "WAIT", UNAVAILABLE,
)  # fmt: skip
"""All that an Execution may be (the last but two was given up in version 1.4); UNAVAILABLE where nobody knows."""
UNKNOWN_LENGTH = "LENGTH NOT KNOWN"
"""In place of a reason where a stop was not seen from its beginning to its end."""

State = tuple[datetime, str]
Span = tuple[datetime, datetime]
_MOST_DAYS = 4000


@dataclass(frozen=True)
class Period:
    """A time in which a machine ran, or in which it did not.

    Attributes
    ----------
    start, end : datetime
        From when to when.
    states : tuple of State
        What the machine said in it, and since when.
    is_whole : bool
        Whether it was seen from its beginning to its end.
    """

    start: datetime
    end: datetime
    states: tuple[State, ...]
    is_whole: bool

    @property
    def is_running(self) -> bool:
        """Whether the machine was at its program."""
        return self.states[0][1] == ACTIVE

    @property
    def minutes(self) -> float:
        """How long it was."""
        return (self.end - self.start).total_seconds() / 60.0


def periods_of(states: Sequence[State], until: datetime) -> list[Period]:
    """Part the time of a machine into running and standing, one after the other.

    Parameters
    ----------
    states : sequence of State
        Its Execution, in order of time.
    until : datetime
        End of what was recorded.
    """
    periods: list[Period] = []
    begun: list[State] = []
    for state in states:
        if begun and (state[1] == ACTIVE) != (begun[0][1] == ACTIVE):
            periods.append(_period(begun, state[0], is_first=not periods, is_last=False))
            begun = []
        if not begun or begun[-1][1] != state[1]:
            begun.append(state)
    if begun and until > begun[0][0]:
        periods.append(_period(begun, until, is_first=not periods, is_last=True))
    return periods


def _period(states: list[State], end: datetime, *, is_first: bool, is_last: bool) -> Period:
    is_known = all(state != UNAVAILABLE for _, state in states)
    return Period(states[0][0], end, tuple(states), is_known and not is_first and not is_last)


def stop_rows(machine: str, periods: Sequence[Period], faults: Sequence[Span]) -> Iterator[list[object]]:
    """Yield a row for each time that a machine stood: machine, start, end, reason, minutes, states.

    Parameters
    ----------
    machine : str
        Its name.
    periods : sequence of Period
        Its time.
    faults : sequence of Span
        When its controller told of a fault that needed somebody, merged; such a stop is a fault's.
    """
    ends = [end for _, end in faults]
    for period in periods:
        if period.is_running:
            continue
        at = bisect_left(ends, period.start)
        is_fault = at < len(faults) and faults[at][0] <= period.end
        if period.states == ((period.start, UNAVAILABLE),):
            reason = UNAVAILABLE
        elif not period.is_whole:
            reason = UNKNOWN_LENGTH
        else:
            reason = "FAULT" if is_fault else _longest(period)
        states = ", ".join(dict.fromkeys([state for _, state in period.states] + ["FAULT"] * is_fault))
        yield [machine, period.start, period.end, reason, round(period.minutes, 2), states]


def merged_spans(spans: Sequence[Span]) -> list[Span]:
    """Spans of time in order, those that meet put together."""
    merged: list[Span] = []
    for start, end in sorted(spans):
        if merged and start <= merged[-1][1]:
            merged[-1] = (merged[-1][0], max(end, merged[-1][1]))
        else:
            merged.append((start, end))
    return merged


def _longest(period: Period) -> str:
    """The state in which a machine stood longest within one period; of equals the first."""
    ends = [*(start for start, _ in period.states[1:]), period.end]
    lengths: dict[str, timedelta] = {}
    for (start, state), end in zip(period.states, ends, strict=True):
        lengths[state] = lengths.get(state, timedelta()) + (end - start)
    return max(lengths, key=lambda state: lengths[state])


def running_by_day(periods: Sequence[Period]) -> dict[date, float]:
    """Minutes that a machine ran, by day."""
    minutes: dict[date, float] = {}
    for period in periods:
        start = period.start
        while period.is_running and start < period.end and len(minutes) < _MOST_DAYS:
            end = min(period.end, datetime.combine(start.date() + timedelta(days=1), time()))
            minutes[start.date()] = minutes.get(start.date(), 0.0) + (end - start).total_seconds() / 60.0
            start = end
    return minutes
