"""Searches: the best intervals of all sets, how many sets and people, and what drives the result."""

from linesim.study.search.best_intervals import best_intervals, best_intervals_steps
from linesim.study.search.budget import SearchPlan
from linesim.study.search.circulation import circulation, circulation_steps
from linesim.study.search.circulation_found import Circulation, Holding
from linesim.study.search.drivers import drivers, drivers_steps
from linesim.study.search.drivers_found import Drivers
from linesim.study.search.found import BestIntervals
from linesim.study.search.goal import Goal, goal_of

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
