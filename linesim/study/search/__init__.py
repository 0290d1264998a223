"""Searches: the best intervals of all sets, how many sets and people, and what drives the result."""

from linesim.study.search.common.budget import SearchPlan
from linesim.study.search.common.goal import Goal, goal_of
from linesim.study.search.intervals.best import BestIntervals
from linesim.study.search.intervals.best_intervals import best_intervals, best_intervals_steps
from linesim.study.search.numbers.answer import Circulation, Holding
from linesim.study.search.numbers.circulation import circulation, circulation_steps
from linesim.study.search.sensitivity.answer import Drivers
from linesim.study.search.sensitivity.drivers import drivers, drivers_steps

__all__ = [
    "BestIntervals",
    "Circulation",
    "Drivers",
    "Goal",
    "Holding",
    "SearchPlan",
    "best_intervals",
    "best_intervals_steps",
    "circulation",
    "circulation_steps",
    "drivers",
    "drivers_steps",
    "goal_of",
]
