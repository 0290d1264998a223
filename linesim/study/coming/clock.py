"""Minutes of a forecast by the clock on the wall, and who attends in the shifts that it is about."""

from __future__ import annotations

import math
import re
from dataclasses import dataclass
from typing import Any

from linesim.errors import StudyError
from linesim.words import keep, say
from linesim.works import Works
from linesim.works.staffing import DAYS

__all__ = ["Clock", "clock_for", "clock_told", "staffed_from"]

_CLOCK = re.compile(r"([01]?\d|2[0-3])[:.]([0-5]\d)")
_DAY_MIN = 1440


@dataclass(frozen=True)
class Clock:
    """When the shifts of a forecast are.

    Attributes
    ----------
    first_min : float
        When the first shift of a day begins, minutes after midnight.
    day, shift : int
        Day of the week and shift of the day with which the forecast begins, from 0.
    shift_min : float
        Length of a shift.
    shifts, days : int
        Worked shifts of a day and worked days of a week.
    """

    first_min: float
    day: int
    shift: int
    shift_min: float
    shifts: int
    days: int

    def words(self, minute: float) -> str:
        """A moment of the forecast, such as 14:05, or Tue 14:05 if it lies on another day than its beginning.

        >>> clock = Clock(360.0, 0, 1, 480.0, 2, 5)
        >>> clock.words(65.0), clock.words(480.0 + 30.0), clock.words(math.inf)
        ('15:05', 'Tue 06:30', 'later')
        """
        if not math.isfinite(minute):
            return keep("days.later")
        return self._at(int(minute // self.shift_min), minute % self.shift_min)

    def end_words(self, shifts: int) -> str:
        """The moment at which so many shifts are over."""
        return self._at(shifts - 1, self.shift_min)

    def _at(self, shifts: int, within_min: float) -> str:
        day, shift = divmod(self.shift + shifts, self.shifts)
        minutes = self.first_min + shift * self.shift_min + within_min
        days, minutes = divmod(round(minutes), _DAY_MIN)
        time = f"{minutes // 60:02.0f}:{minutes % 60:02.0f}"
        if day + days == 0:
            return time
        weekday = DAYS[(self.day + day + days) % 7 if days else (self.day + day) % self.days]
        return keep("days.day_and_time", day=keep(f"days.short_{weekday}"), time=time)

    @property
    def beginning(self) -> str:
        """The shift with which it begins, in words."""
        return f"{DAYS[self.day].capitalize()}, shift {self.shift + 1} of {self.shifts}, from {self.words(0.0)}"


def clock_told(text: str) -> str:
    """A moment as a table has it, in the words of whoever reads.

    Parameters
    ----------
    text : str
        As from `Clock.words`.

    >>> clock_told("Tue 14:05"), clock_told("14:05"), clock_told("later")
    ('Tue 14:05', '14:05', 'later')
    """
    if text == keep("days.later"):
        return say("days.later")
    day, _, time = text.partition(" ")
    weekday = next((name for name in DAYS if keep(f"days.short_{name}") == day), None)
    return text if weekday is None else say("days.day_and_time", day=say(f"days.short_{weekday}"), time=time)


def clock_for(works: Works, first: str, day: str, shift: int) -> Clock:
    """The clock of a forecast.

    Parameters
    ----------
    works : Works
        For its calendar.
    first : str
        When the first shift of a day begins, such as 06:00.
    day : str
        Day of the week with which the forecast begins.
    shift : int
        Shift of that day, from 1.

    Raises
    ------
    StudyError
        There is no such moment, day or shift.
    """
    calendar = works.calendar
    match = _CLOCK.fullmatch(first.strip())
    if match is None:
        raise StudyError(f'"{first}" is no time of day; one such as 06:00 was expected')
    names = DAYS[: calendar.days_per_week]
    begins = day.strip().casefold()
    number = next((at for at, name in enumerate(names) if begins and name.startswith(begins)), None)
    if number is None:
        raise StudyError(f'"{day}" is not a day that is worked; one of {", ".join(names)} was expected')
    if not 1 <= shift <= calendar.shifts_per_day:
        raise StudyError(f"shift {shift} of the day cannot be; 1 to {calendar.shifts_per_day} was expected")
    minutes = 60.0 * int(match[1]) + int(match[2])
    return Clock(minutes, number, shift - 1, calendar.shift, calendar.shifts_per_day, calendar.days_per_week)


def staffed_from(works: Works, clock: Clock) -> dict[str, Any]:
    """Changes to a works, whose run begins on a Monday, so that people attend as from the forecast's first shift on."""
    first = clock.day * clock.shifts + clock.shift
    people = {}
    for name, pool in works.people.items():
        week = pool.week(clock.days, clock.shifts)
        if first and len(set(week)) > 1:
            turned = [*week[first:], *week[:first]]
            days = {DAYS[at]: turned[at * clock.shifts : (at + 1) * clock.shifts] for at in range(clock.days)}
            people[name] = {"by_day": days, "by_shift": days[DAYS[0]]}
    return {"people": people} if people else {}
