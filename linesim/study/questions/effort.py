"""How much work a study asks for, so that a page can say no in time."""

from __future__ import annotations

import math

from linesim.desk import desk_figures
from linesim.errors import StudyError
from linesim.plan.times import mean_minutes
from linesim.works import Works
from linesim.works.model import Line

__all__ = ["MOST_STEPS", "check_effort", "part_steps"]

MOST_STEPS = 400_000_000
"""Parts times operations of a whole study that a page takes on; some ten to twenty minutes of one processor."""

_MOST_OF_ONE_RUN = 40_000_000
_MOST_PLACES = 20_000


def part_steps(works: Works) -> float:
    """Parts times operations of one run, warm-up included, at the pace of each line's constraint, and its arrivals.

    Parameters
    ----------
    works : Works
        The checked scenario.

    Returns
    -------
    float
        Infinite where an operation takes no time.
    """
    minutes = works.run.length + works.run.warm_up
    hours = (works.run.length + works.run.warm_up) / 60.0
    paces = desk_figures(works, at_full_life=True).constraints.set_index("line")["together_per_hour"].to_dict()
    through = sum(hours * float(paces[name]) * len(line.operations) for name, line in works.lines.items())
    return through + sum(_arrivals(line, minutes) for line in works.lines.values())


def _arrivals(line: Line, minutes: float) -> float:
    """Castings that come to a line of themselves, whether they find room or not."""
    arrivals, limit = line.casting.arrivals, line.casting.limit or math.inf
    if arrivals is None:
        return 0.0
    between_min = mean_minutes(arrivals.between)
    return min(limit, minutes / between_min if between_min > 0.0 else math.inf)


def check_effort(works: Works, runs: int) -> None:
    """See to it that a page can take a study on.

    Parameters
    ----------
    works : Works
        The checked scenario.
    runs : int
        How many runs the study makes at the most.

    Raises
    ------
    StudyError
        It asks for too much; says how much, and what to do.
    """
    machines = sum(operation.machines for line in works.lines.values() for operation in line.operations.values())
    if machines > _MOST_PLACES:
        raise StudyError(f"{machines:,} machines are more than a page takes on; at most {_MOST_PLACES:,} were expected")
    one = part_steps(works)
    if one > _MOST_OF_ONE_RUN or one * runs > MOST_STEPS:
        asked = "no end of" if math.isinf(one) else f"about {one * runs / 1e6:,.0f} million"
        raise StudyError(
            f"this asks for {asked} parts through operations ({runs} runs of {works.run.length:,.0f} minutes), and a "
            f"page takes on {MOST_STEPS / 1e6:,.0f} million in all, {_MOST_OF_ONE_RUN / 1e6:,.0f} million in one run. "
            "Shorten the run or ask for fewer replications, or use the command line"
        )
