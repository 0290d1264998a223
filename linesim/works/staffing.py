"""People of a works: how many of a pool attend, in which shifts and days, and what they do at the bell."""

from __future__ import annotations

from typing import Literal

from pydantic import Field, model_validator

from linesim.units import Minutes, MoneyPerHour, Whole
from linesim.works.base import Marks, Strict

__all__ = ["DAYS", "Attended", "Break", "People"]

DAYS = ("monday", "tuesday", "wednesday", "thursday", "friday", "saturday", "sunday")
"""Days of a week, the first one first; the first of them are worked."""

Job = Literal["load", "unload", "gauge", "look"]

Attending = Whole


class Break(Strict):
    """A break that a pool of people has in each of its shifts."""

    after: Minutes = Field(ge=0, le=1440)
    """Worked minutes from the start of the shift to the break."""
    minutes: Minutes = Field(gt=0, le=480)
    """How long it is for each of them, in minutes."""
    relieved: bool = False
    """Whether they relieve each other: one after another goes, so that one is away for as long as it takes all of them.
    Unless they do, all stop at once."""


class People(Strict):
    """A pool of setters, fitters or operators, shared by the operations that name it."""

    count: Whole = Field(default=1, ge=1, le=10_000)
    """How many people the pool has in a shift of which nothing else is said."""
    rate: MoneyPerHour = Field(default=0.0, ge=0)
    """Cost of one hour of one of them. In the scenario's currency."""
    paid: Literal["time used", "attendance"] = "time used"
    """Whether the line is charged for the time it takes of them or for their whole attendance, with what they
    work beyond the bell and without breaks that all have at once."""
    by_shift: list[Attending] = Field(default=[], max_length=6)
    """How many attend in each shift of a day, 0 to 10 000; as many as `count` in every shift unless given.
    A run begins with the first shift of a Monday, unless `now` says when."""
    by_day: dict[str, list[Attending]] = Field(default={}, max_length=7)
    """How many attend in each shift of a certain day (monday, tuesday ...), where that is not as on the others. A week
    begins on Monday and has as many worked days as the calendar says."""
    breaks: list[Break] = Field(default=[], max_length=12)
    """Breaks in every shift, in their order; none unless given."""
    at_bell: Literal["finishes", "hands over"] = "finishes"
    """What becomes of a job in hand when fewer attend from now on, at the end of a shift or at a break: who has it
    finishes it before he goes; or he leaves it, and the next who comes takes it up before anything else. While as many
    attend as before, jobs go from hand to hand and nothing is lost."""
    assumed: Marks = Field(default=[])
    """Typical figures in place of the shop's own, each with its value: ``[count 1, rate 36]``.
    A mark counts until the figure is another one."""

    @model_validator(mode="after")
    def _in_range(self) -> People:
        for attending in (self.by_shift, *self.by_day.values()):
            if any(not 0 <= people <= 10_000 for people in attending):
                raise ValueError(f"{attending} people attend; 0 to 10 000 in each shift were expected")
        return self

    @property
    def is_staffed(self) -> bool:
        """Whether not always as many of them attend."""
        return bool(self.by_shift or self.by_day or self.breaks)

    def attending(self, day: int, shift: int) -> int:
        """How many attend in a shift, breaks left aside.

        Parameters
        ----------
        day, shift : int
            Day of the week and shift of the day, from 0.
        """
        by_shift = self.by_day.get(DAYS[day], self.by_shift)
        return by_shift[shift] if by_shift else self.count

    def week(self, days: int, shifts: int) -> list[int]:
        """How many attend in each shift of a week, one after another.

        Parameters
        ----------
        days, shifts : int
            Worked days of a week and shifts of a day.

        >>> People(by_shift=[2, 1], by_day={"tuesday": [1, 0]}).week(2, 2)
        [2, 1, 1, 0]
        """
        return [self.attending(day, shift) for day in range(days) for shift in range(shifts)]


class Attended(Strict):
    """What people do at the machines of an operation in every round; one of them may attend several machines."""

    by: str
    """The pool of people who attend its machines."""
    jobs: list[Job] = Field(default=["load", "unload"], min_length=1, max_length=4)
    """What they do: load (with cleaning off), unload, gauge, look at edges. Only what takes time here calls for one of
    them, and what follows without a wait is done in the same visit. What is not named the machine does by itself."""
    walk: Minutes = Field(default=0.0, ge=0, le=60)
    """Minutes that he walks after each visit to where he is wanted next; the machine runs meanwhile."""
