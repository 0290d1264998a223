"""How much a search may spend, and in which replications its answer is judged."""

from __future__ import annotations

from dataclasses import dataclass

from linesim.errors import StudyError
from linesim.study.search.common.set_at import LONGEST_LIVES

__all__ = ["FRESH", "LEAST_RUNS", "USUAL_PLAN", "USUAL_RUNS", "SearchPlan"]

FRESH = 1_000_000
"""First of the replications in which the answer is judged; the search itself uses those from 0."""

LEAST_RUNS = 50
"""Fewer make no search."""

USUAL_RUNS = 1200
"""Runs that a search spends on a line of some fifteen sets and levers, about."""


@dataclass(frozen=True)
class SearchPlan:
    """How much a search may spend.

    Attributes
    ----------
    runs : int
        Runs in all, about: with more of them each round spreads more settings, and there may be more rounds.
    replications : int
        Replications in which settings are told apart, 4 or more.
    fresh : int
        Replications of the verdict, 2 or more.
    by : {"parts", "life"}
        How intervals are written.
    groups : bool
        Whether to look for the share past which sets are changed together.
    levers : bool
        Whether to look for other rules, aims, shares of correction and dead bands together with the intervals.
    tolerance : float
        Share of the goal that a flat range may cost.
    most_lives : float
        No interval beyond so many lives of an average edge is looked at; 1 keeps every set within its wear limit.
    ranges : bool
        Whether to look, once the verdict stands, how far each interval and lever may be moved.
    over_lives : bool
        Whether to look for what is best over all lives that edges may have, which are drawn anew in each run, instead
        of what is best if they have the lives assumed.
    minutes : float or None
        The search takes no longer than this, the verdict included; None: as long as the runs take.
    """

    runs: int = USUAL_RUNS
    replications: int = 12
    fresh: int = 24
    by: str = "parts"
    groups: bool = True
    levers: bool = True
    tolerance: float = 0.01
    most_lives: float = 1.0
    ranges: bool = False
    over_lives: bool = False
    minutes: float | None = None

    def __post_init__(self) -> None:
        for name, least in (("runs", LEAST_RUNS), ("replications", 4), ("fresh", 2)):
            if getattr(self, name) < least:
                raise StudyError(f"{getattr(self, name)} {name} are too few; at least {least} were expected")
        if self.by not in ("parts", "life"):
            raise StudyError(f'intervals by "{self.by}" are not known; parts or life was expected')
        if not 0.0 < self.most_lives <= LONGEST_LIVES:
            raise StudyError(
                f"{self.most_lives:g} lives cannot be; a figure above 0 up to {LONGEST_LIVES:g} was expected"
            )
        if not 0.0 < self.tolerance < 1.0:
            raise StudyError(f"a tolerance of {self.tolerance:g} cannot be; a share such as 0.01 was expected")

    @property
    def few(self) -> range:
        """Replications for a first look."""
        return range(max(4, self.replications // 3))

    @property
    def steps(self) -> list[range]:
        """Replications of those settings that are left, fewer first."""
        return [self.few, range(max(4, 2 * self.replications // 3)), range(self.replications)]


USUAL_PLAN = SearchPlan()
"""What a search spends where nobody says anything else."""
