"""When a search has to come to its end: early enough for a verdict in runs that it has not seen."""

from __future__ import annotations

from dataclasses import dataclass

from linesim.errors import StudyError
from linesim.study.interim import Ending
from linesim.study.search.common.trials import Trials

__all__ = ["Deadline", "TimeUp"]

_LEAST_FRESH = 4
"""Replications of a verdict for which time is made, whatever the minutes."""

_MOST_FOR_VERDICT = 0.5
"""Share of the time that is held back for the verdict at the most."""


class TimeUp(Exception):  # noqa: N818 - it ends a search, and is nobody's error
    """The time is used up, but for the verdict."""


@dataclass
class Deadline:
    """How long a search may take.

    Attributes
    ----------
    trials : Trials
        Its runs; their clock counts from the beginning of the search.
    minutes : float or None
        In all; None for as long as it takes.
    fresh : int
        Replications wanted of the verdict, of two settings.
    is_hastened : bool
        Whether the search was ended before it had come to its end.
    """

    trials: Trials
    minutes: float | None
    fresh: int
    is_hastened: bool = False

    def __post_init__(self) -> None:
        if self.minutes is not None and not self.minutes > 0.0:
            raise StudyError(f"{self.minutes:g} minutes cannot be; a figure above 0 was expected")

    def check(self) -> None:
        """See to it that the search ends in time.

        Raises
        ------
        TimeUp
            No time is left but for the verdict.
        """
        if self.minutes is None:
            return
        total_s = 60.0 * self.minutes
        for_verdict_s = min(2 * self.fresh * self._run_s, _MOST_FOR_VERDICT * total_s)
        if self.trials.elapsed_s > total_s - for_verdict_s:
            raise TimeUp

    def hasten(self, why: Exception) -> None:
        """Come to the end: no more time than before, and little if somebody has asked for the end."""
        self.is_hastened = True
        if isinstance(why, Ending):
            minutes = (self.trials.elapsed_s + why.patience_s) / 60.0
            self.minutes = minutes if self.minutes is None else min(self.minutes, minutes)

    @property
    def fresh_in_time(self) -> int:
        """Replications of the verdict for which there is time, but four at least where so many are wanted."""
        if self.minutes is None or not self._run_s:
            return self.fresh
        fitting = int((60.0 * self.minutes - self.trials.elapsed_s) / (2.0 * self._run_s))
        return max(min(self.fresh, _LEAST_FRESH), min(self.fresh, fitting))

    @property
    def _run_s(self) -> float:
        """What a run has taken so far, everything counted."""
        return self.trials.elapsed_s / self.trials.done if self.trials.done else 0.0
