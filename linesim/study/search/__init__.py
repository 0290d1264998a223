"""Searches: the best intervals of all sets, how many sets and people, and what drives the result."""

from linesim.study.search.common.budget import SearchPlan
from linesim.study.search.common.goal import Goal, goal_of
from linesim.study.search.intervals.best import BestIntervals
from linesim.study.search.intervals.best_intervals import IntervalStudy
from linesim.study.search.numbers.answer import Circulation, Holding
from linesim.study.search.numbers.circulation import NumberStudy
from linesim.study.search.sensitivity.answer import Drivers
from linesim.study.search.sensitivity.drivers import DriverStudy

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
