"""Parts by day from the counters of a machine, and how loaded it was, as MTConnect writes them."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, datetime
from typing import Any

__all__ = ["Counter", "by_day", "count_rows", "load_rows"]

Reading = tuple[datetime, float]


@dataclass(frozen=True)
class Counter:
    """One counter.

    Attributes
    ----------
    counts : str
        "ALL" unless the machine says what it counts: "GOOD", "BAD", "TARGET" and others.
    readings : tuple of Reading
        What stood on it, in order of time.
    """

    counts: str
    readings: tuple[Reading, ...]


def by_day(counter: Counter) -> dict[date, float]:
    """Parts that a counter has counted, by day; where it fell it began again from nothing."""
    days: dict[date, float] = {}
    for (_, before), (when, value) in zip(counter.readings, counter.readings[1:], strict=False):
        added = value - before if value >= before else value
        days[when.date()] = days.get(when.date(), 0.0) + added
    return days


def count_rows(machine: str, counters: Iterable[Counter], running: Mapping[date, float]) -> list[list[Any]]:
    """Rows of counts by day: when, machine, good, scrap, running minutes.

    Parameters
    ----------
    machine : str
        Its name.
    counters : iterable of Counter
        All counters of the machine.
    running : mapping of date to float
        Minutes that it ran, by day.
    """
    sums: dict[str, dict[date, float]] = {}
    for counter in counters:
        days = sums.setdefault(counter.counts, {})
        for day, added in by_day(counter).items():
            days[day] = days.get(day, 0.0) + added
    good, bad, both = (sums.get(each) for each in ("GOOD", "BAD", "ALL"))
    rows = []
    for day in sorted({*(good or {}), *(bad or {}), *(both or {})}):
        scrap = None if bad is None else bad.get(day, 0.0)
        fine = good.get(day, 0.0) if good is not None else None if both is None else both.get(day, 0.0) - (scrap or 0.0)
        minutes = round(running[day], 2) if day in running else None
        rows.append([day, machine, fine, scrap, minutes])
    return rows


def load_rows(machine: str, of: str, readings: Sequence[Reading]) -> list[list[Any]]:
    """Rows of load by day: when, machine, of what, samples, their mean and the greatest, in per cent."""
    days: dict[date, list[float]] = {}
    for when, value in readings:
        days.setdefault(when.date(), []).append(value)
    return [
        [day, machine, of, len(values), round(sum(values) / len(values), 2), max(values)]
        for day, values in sorted(days.items())
    ]
