"""Searches: the best intervals of all sets, how many sets and people, and what drives the result."""

from __future__ import annotations

from typing import TYPE_CHECKING

from linesim.fetching import offering

if TYPE_CHECKING:
    from linesim.study.search.common.budget import SearchPlan as SearchPlan
    from linesim.study.search.common.goal import Goal as Goal
    from linesim.study.search.common.goal import goal_of as goal_of
    from linesim.study.search.intervals.best import BestIntervals as BestIntervals
    from linesim.study.search.intervals.best_intervals import IntervalStudy as IntervalStudy
    from linesim.study.search.numbers.answer import Circulation as Circulation
    from linesim.study.search.numbers.answer import Holding as Holding
    from linesim.study.search.numbers.circulation import NumberStudy as NumberStudy
    from linesim.study.search.sensitivity.answer import Drivers as Drivers
    from linesim.study.search.sensitivity.drivers import DriverStudy as DriverStudy

__all__ = [
    "BestIntervals",
    "Circulation",
    "DriverStudy",
    "Drivers",
    "Goal",
    "Holding",
    "IntervalStudy",
    "NumberStudy",
    "SearchPlan",
    "goal_of",
]

_ROOMS = {
    "common.budget": ("SearchPlan",),
    "common.goal": ("Goal", "goal_of"),
    "intervals.best": ("BestIntervals",),
    "intervals.best_intervals": ("IntervalStudy",),
    "numbers.answer": ("Circulation", "Holding"),
    "numbers.circulation": ("NumberStudy",),
    "sensitivity.answer": ("Drivers",),
    "sensitivity.drivers": ("DriverStudy",),
}
"""Other studies need but the sets as policies name them."""

__getattr__, __dir__ = offering(__name__, _ROOMS)
