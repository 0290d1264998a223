"""Settings set against each other in common replications, as many as it takes to tell them apart."""

from __future__ import annotations

import math
from collections.abc import Hashable, Iterator, Sequence
from dataclasses import dataclass

import numpy as np

from linesim.study.search.common.goal import Goal
from linesim.study.search.common.trials import Trial, Trials
from linesim.study.statistics.intervals import Difference, mean_interval, t_quantile
from linesim.works import Works

__all__ = ["Judge"]


@dataclass(frozen=True)
class Judge:
    """Says which of two trials is the better one, by the goal and its caps.

    Attributes
    ----------
    trials : Trials
        Where runs are kept.
    goal : Goal
        What is sought.
    confidence : float
        Of each paired interval.
    """

    trials: Trials
    goal: Goal
    confidence: float

    def excess(self, key: Hashable, replications: Sequence[int]) -> float:
        """By how much caps are passed, as a share of each: the upper end of the interval counts."""
        total = 0.0
        for name, limit in self.goal.caps:
            interval = mean_interval(self.trials.values(key, name, replications), self.confidence)
            high = interval.mean if np.isnan(interval.half_width) else interval.high
            total += max(0.0, high / limit - 1.0) if not np.isnan(high) else np.inf
        return total

    def sort_key(self, key: Hashable, replications: Sequence[int]) -> tuple[float, float]:
        """To be sorted by, less is better: excess over the caps, then the goal's mean."""
        worse = self.goal.worse(self.trials.values(key, self.goal.measure.name, replications))
        return self.excess(key, replications), float(worse.mean())

    def worse_by(
        self, key: Hashable, against: Hashable, replications: Sequence[int], confidence: float | None = None
    ) -> Difference:
        """Paired difference in the goal, turned so that more than 0 is worse; at the judge's confidence or another."""
        level = self.confidence if confidence is None else confidence
        apart = self.trials.difference(key, against, self.goal.measure.name, replications, level)
        return apart._replace(mean=-self.goal.sign * apart.mean)

    def is_better(
        self, key: Hashable, against: Hashable, replications: Sequence[int], confidence: float | None = None
    ) -> bool | None:
        """Whether a trial is better than another; None if that cannot be told."""
        mine, other = self.excess(key, replications), self.excess(against, replications)
        if mine > 0.0 and other > 0.0:
            return mine < other
        if mine > 0.0 or other > 0.0:
            return other > 0.0
        apart = self.worse_by(key, against, replications, confidence)
        return apart.mean < 0.0 if apart.is_apart else None

    def may_be_better(self, key: Hashable, against: Hashable, replications: Sequence[int], errors: float) -> bool:
        """Whether few paired runs leave open, within so many standard errors, that a trial is better than another.

        Against one that passes its caps, anything may be.
        """
        apart = self.worse_by(key, against, replications)
        return self.excess(against, replications) > 0.0 or apart.mean - errors * self.error_of(apart) < 0.0

    def is_clearly_worse(self, key: Hashable, against: Hashable, replications: Sequence[int], by: float) -> bool:
        """Whether a trial passes its caps by more than another, or keeps to them as well and is worse by so much."""
        mine, other = self.excess(key, replications), self.excess(against, replications)
        return mine > other or (mine == other and not self.worse_by(key, against, replications).mean < by)

    def best_policy(self, works: Works, names: Sequence[str], replications: Sequence[int]) -> Iterator[int | str]:
        """Run policies of a scenario; yields runs done, and at last the name of the one with the best mean.

        All are run twice, and the better half of them in all replications.
        """
        named = [Trial(("policy", name), works, name) for name in names]
        for numbers in (replications[:2], replications):
            yield from self.trials.run(named, numbers)
            named.sort(key=lambda trial: self.sort_key(trial.key, numbers))
            named = named[: math.ceil(len(named) / 2)]
        yield named[0].policy

    def error_of(self, apart: Difference) -> float:
        """Standard error of a paired difference at the judge's confidence."""
        return apart.half_width / float(t_quantile(0.5 + 0.5 * self.confidence, max(apart.n - 1, 1)))
