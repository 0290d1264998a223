"""Minutes of a forecast by the clock on the wall, and the moment of the calendar with which it begins."""

from __future__ import annotations

import math
import re
from dataclasses import dataclass, replace

from linesim.errors import StudyError
from linesim.words import keep, say
from linesim.works import Works
from linesim.works.now import MomentNow
from linesim.works.staffing import DAYS

__all__ = ["Clock", "clock_for", "clock_told"]

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
    within_min : float
        How long that shift has run as the forecast begins.
    """

    first_min: float
    day: int
    shift: int
    shift_min: float
    shifts: int
    days: int
    within_min: float = 0.0

    def words(self, minute: float) -> str:
        """A moment of the forecast, such as 14:05, or Tue 14:05 if it lies on another day than its beginning.

        >>> clock = Clock(360.0, 0, 1, 480.0, 2, 5)
        >>> clock.words(65.0), clock.words(480.0 + 30.0), clock.words(math.inf)
        ('15:05', 'Tue 06:30', 'later')
        >>> Clock(360.0, 0, 0, 480.0, 2, 5, within_min=260.0).words(45.0)
        '11:05'
        """
        if not math.isfinite(minute):
            return keep("days.later")
        shifts, within_min = divmod(minute + self.within_min, self.shift_min)
        return self._at(int(shifts), within_min)

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

    def shift_at(self, minute: float) -> tuple[int, int]:
        """Day of the week and shift of the day in which a moment of the forecast lies, from 0."""
        days, shift = divmod(self.shift + int((minute + self.within_min) // self.shift_min), self.shifts)
        return (self.day + days) % self.days, shift

    @property
    def moment(self) -> MomentNow:
        """The moment of the calendar with which it begins."""
        return MomentNow.model_validate({"day": DAYS[self.day], "shift": self.shift + 1, "after": self.within_min})

    @property
    def beginning(self) -> str:
        """The shift with which it begins, in words."""
        day = keep(f"days.{DAYS[self.day]}")
        return keep("coming.begins", day=day, shift=self.shift + 1, shifts=self.shifts, time=self.words(0.0))


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


def clock_for(
    works: Works, first: str, day: str | None = None, shift: int | None = None, at: str | None = None
) -> Clock:
    """The clock of a forecast.

    Parameters
    ----------
    works : Works
        For its calendar, and for the moment of its ``now``, with which the forecast begins unless any of the others
        says when it does.
    first : str
        When the first shift of a day begins, such as 06:00.
    day : str, optional
        Day of the week with which the forecast begins; Monday unless given.
    shift : int, optional
        Shift of that day, from 1; the one in which the time of day lies unless given, the first one without that.
    at : str, optional
        The time of day at which it begins, such as 10:20; the start of the shift unless given. What is past midnight
        belongs to the day on which the first shift began.

    Raises
    ------
    StudyError
        There is no such moment, day or shift.
    """
    calendar = works.calendar
    first_min = _minutes(first)
    lengths = (calendar.shift, calendar.shifts_per_day, calendar.days_per_week)
    at = at.strip() if at is not None and at.strip() else None
    if day is None and shift is None and at is None:
        begins = MomentNow() if works.now is None else works.now.at
        return Clock(first_min, DAYS.index(begins.day), begins.shift - 1, *lengths, begins.after)
    number = 0 if day is None else _day(day, DAYS[: calendar.days_per_week])
    if shift is not None and not 1 <= shift <= calendar.shifts_per_day:
        raise StudyError(f"shift {shift} of the day cannot be; 1 to {calendar.shifts_per_day} was expected")
    clock = Clock(first_min, number, 0 if shift is None else shift - 1, *lengths)
    return clock if at is None else _within(clock, at, shift)


def _minutes(text: str) -> float:
    """Minutes after midnight."""
    match = _CLOCK.fullmatch(text.strip())
    if match is None:
        raise StudyError(f'"{text}" is no time of day; one such as 06:00 was expected')
    return 60.0 * int(match[1]) + int(match[2])


def _day(day: str, worked: tuple[str, ...]) -> int:
    """Number of a day by its name or the beginning of it."""
    begins = day.strip().casefold()
    number = next((at for at, name in enumerate(worked) if begins and name.startswith(begins)), None)
    if number is None:
        raise StudyError(f'"{day}" is not a day that is worked; one of {", ".join(worked)} was expected')
    return number


def _within(clock: Clock, at: str, shift: int | None) -> Clock:
    """A clock that begins at a time of day."""
    of_shift, within_min = divmod((_minutes(at) - clock.first_min) % _DAY_MIN, clock.shift_min)
    if of_shift >= clock.shifts:
        times = f"{replace(clock, shift=0).words(0.0)} to {replace(clock, shift=0).end_words(clock.shifts)}"
        raise StudyError(f"at {at} nothing is worked; a time within the shifts of a day, {times}, was expected")
    if shift is not None and shift - 1 != of_shift:
        raise StudyError(
            f"{at} does not lie in shift {shift}, from {clock.words(0.0)} to {clock.end_words(1)}, but in shift "
            f"{int(of_shift) + 1}; name that shift"
        )
    return replace(clock, shift=int(of_shift), within_min=within_min)
