"""Trials of a search: works under a policy, run in common replications, each once and remembered."""

from __future__ import annotations

import time
from collections.abc import Hashable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from pathlib import Path

import numpy as np
import numpy.typing as npt

from linesim.plan.tally import State
from linesim.study.crew.crew import Crew, Prospect
from linesim.study.crew.outcome import Task
from linesim.study.crew.summary import WHOLE_WORKS, RunSummary
from linesim.study.search.common.set_at import Setting
from linesim.study.statistics.intervals import Difference, Interval, mean_interval, paired_difference
from linesim.works import Works

__all__ = ["Trial", "TrialOutcome", "Trials"]


@dataclass(frozen=True)
class Trial:
    """One works under one policy, known by a key of the search's own."""

    key: Hashable
    works: Works
    policy: str


@dataclass(frozen=True)
class TrialOutcome:
    """What a search keeps of one run.

    Attributes
    ----------
    figures : dict
        Figures of the whole works.
    changing : dict
        By line and operation: the share of time spent changing cutters, summed over its machines.
    by_line : dict
        Figures of each line.
    """

    figures: dict[str, float]
    changing: dict[tuple[str, str], float]
    by_line: dict[str, dict[str, float]] = field(default_factory=dict)


@dataclass
class Trials:
    """Carries out trials through a crew; every trial meets the same castings, edges and breakdowns.

    Attributes
    ----------
    seed : int
        Key of all chance.
    crew : Crew
        Who carries them out.
    engine : str
        Which engine.
    rules : tuple of pathlib.Path
        Files with rules of the user's own.
    expected : int
        Runs that the search will have taken in all, about, as far as it knows.
    """

    seed: int
    crew: Crew = field(default_factory=Crew)
    engine: str = "fast"
    rules: tuple[Path, ...] = ()
    expected: int = 0
    done: int = 0
    _outcomes: dict[tuple[Hashable, int], TrialOutcome] = field(default_factory=dict)
    _asked: dict[tuple[Hashable, int], None] = field(default_factory=dict)
    _prospect: Prospect = field(default_factory=Prospect)
    _began_s: float = field(default_factory=time.monotonic)

    @property
    def elapsed_s(self) -> float:
        """Seconds since the search began."""
        return time.monotonic() - self._began_s

    def run(self, trials: Sequence[Trial], replications: Sequence[int]) -> Iterator[int]:
        """Carry out what is missing, trial by trial, all replications of each; see `run_each`."""
        yield from self.run_each([(trial, number) for trial in trials for number in replications])

    def run_each(self, wanted: Sequence[tuple[Trial, int]]) -> Iterator[int]:
        """Carry out what is missing of some runs.

        Parameters
        ----------
        wanted : sequence of (Trial, int)
            Trial and replication.

        Yields
        ------
        int
            Runs done in all, after each.
        """
        missing = {(trial.key, number): trial for trial, number in wanted if (trial.key, number) not in self._outcomes}
        keys = list(missing)
        self._asked |= dict.fromkeys(keys)
        tasks = [
            Task(trial.works, trial.policy, self.seed, number, self.rules, self.engine, is_told=False)
            for (_, number), trial in missing.items()
        ]
        self._prospect.to_come = max(self.expected - self.done - len(tasks), 0)
        for at, summary in self.crew.summaries(tasks, self._prospect):
            self._outcomes[keys[at]] = _kept(summary)
            self.done += 1
            yield self.done

    def values(self, key: Hashable, name: str, replications: Sequence[int]) -> npt.NDArray[np.float64]:
        """One figure of a trial in each of some replications, in their order."""
        return np.array([self._outcomes[key, number].figures[name] for number in replications], dtype=np.float64)

    def of_line(self, key: Hashable, name: str, line: str, replications: Sequence[int]) -> npt.NDArray[np.float64]:
        """One figure of one line under a trial in each of some replications, in their order."""
        return np.array([self._outcomes[key, number].by_line[line][name] for number in replications])

    def known(self) -> list[tuple[Hashable, int]]:
        """Key and replication of every run done, in an order that does not depend on who ended first."""
        return [at for at in self._asked if at in self._outcomes]

    def forget_settings(self) -> None:
        """Forget the runs of settings, which another policy is to be set out from now; those of policies stay."""
        self._asked = {at: None for at in self._asked if not isinstance(at[0], Setting)}
        self._outcomes = {at: outcome for at, outcome in self._outcomes.items() if not isinstance(at[0], Setting)}

    def has(self, key: Hashable, replication: int) -> bool:
        """Whether a run has been done."""
        return (key, replication) in self._outcomes

    def changing(self, key: Hashable, station: tuple[str, str], replications: Sequence[int]) -> npt.NDArray[np.float64]:
        """Share of time that an operation (line and name) spends changing cutters, in each of some replications."""
        return np.array([self._outcomes[key, number].changing.get(station, 0.0) for number in replications])

    def mean(self, key: Hashable, name: str, replications: Sequence[int], confidence: float) -> Interval:
        """Mean of a figure with its interval."""
        return mean_interval(self.values(key, name, replications), confidence)

    def difference(
        self, key: Hashable, against: Hashable, name: str, replications: Sequence[int], confidence: float
    ) -> Difference:
        """Paired difference of a figure between two trials."""
        first, second = (self.values(each, name, replications) for each in (key, against))
        return paired_difference(first, second, confidence)


def _kept(summary: RunSummary) -> TrialOutcome:
    """What is kept of a run."""
    figures = {str(row["line"]): _numbers(row) for row in summary.figures}
    changing: dict[tuple[str, str], float] = {}
    for (line, operation, _), share in zip(summary.machines, summary.shares[:, State.CHANGING].tolist(), strict=True):
        changing[line, operation] = changing.get((line, operation), 0.0) + share
    return TrialOutcome(figures.pop(WHOLE_WORKS), changing, figures)


def _numbers(row: Mapping[str, object]) -> dict[str, float]:
    return {name: float(value) for name, value in row.items() if isinstance(value, (int, float))}
