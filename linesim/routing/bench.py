"""Runs of variants with shared chance: the one place where this room meets the study's crew.

A variant is a works with a policy. The same seed and replication give it the same castings, edges and breakdowns as
every other one, so that what differs comes of the variant.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path

import numpy as np
import numpy.typing as npt
import pandas as pd

from linesim.study import WHOLE_WORKS, StudyOptions, run
from linesim.study.crew.outcome import Outcome, Task
from linesim.study.statistics.intervals import Difference, Interval, each_of, mean_interval, paired_difference
from linesim.works import Works
from linesim.works.policies import Policy, Rule

__all__ = [
    "Candidate",
    "Sample",
    "characteristics_of",
    "on_trial",
    "outcomes_of",
    "sample_of",
    "with_rules",
]  # fmt: skip

Values = npt.NDArray[np.float64]


@dataclass(frozen=True, eq=False)
class Candidate:
    """A works and the name of the policy under which it is run."""

    works: Works
    policy: str


@dataclass(frozen=True, eq=False)
class Sample:
    """The runs of one candidate, replication by replication.

    Attributes
    ----------
    candidate : Candidate
        What was run.
    figures : pandas.DataFrame
        One row per replication and line, and one for the whole works; see `linesim.study.crew.outcome`.
    times : pandas.DataFrame
        Share of time in each state by replication, operation and machine.
    ledger : pandas.DataFrame
        Money per good part by replication, line and item.
    problems : tuple of str
        What single runs found wrong.
    details : array of float, (replications, heads)
        Under the heads of `linesim.result.details.Details`.
    """

    candidate: Candidate
    figures: pd.DataFrame
    times: pd.DataFrame
    ledger: pd.DataFrame
    problems: tuple[str, ...]
    details: Values

    def values(self, name: str, line: str = WHOLE_WORKS) -> Values:
        """One measure, replication by replication."""
        rows = self.figures[self.figures["line"] == line].sort_values("replication")
        return rows[name].to_numpy(dtype=np.float64)

    def interval(self, name: str, confidence: float, line: str = WHOLE_WORKS) -> Interval:
        """Mean and half width of one measure."""
        return mean_interval(self.values(name, line), confidence)

    def against(self, other: Sample, name: str, confidence: float, of: int = 1, line: str = WHOLE_WORKS) -> Difference:
        """The measure of one sample less the other's, pair by pair; ``of`` such intervals hold together."""
        return paired_difference(self.values(name, line), other.values(name, line), each_of(confidence, of))

    def idle_share(self, operation: str, line: str) -> float:
        """Share of time in which the machines of an operation wait for a part or are held up; mean over runs."""
        rows = self.times[(self.times["line"] == line) & (self.times["operation"] == operation)]
        idle = rows[rows["state"].isin(("waiting for a part", "filling a batch", "held up"))]
        per_run = idle.groupby(["replication", "machine"])["share"].sum()
        return float(per_run.mean()) if len(per_run) else float("nan")

    def constraint(self, line: str) -> str:
        """The operation of a line whose machines wait for parts or are held up least."""
        operations = dict.fromkeys(self.times.loc[self.times["line"] == line, "operation"])
        return min((str(name) for name in operations), key=lambda name: self.idle_share(name, line))


def with_rules(policy: Policy, shares: Mapping[str, float]) -> Policy:
    """A policy in which some sets are changed at a share of their life.

    Parameters
    ----------
    policy : Policy
        The one to start from.
    shares : mapping of str to float
        By cutter set.

    Returns
    -------
    Policy
        Exceptions that name an operation and one of these sets give way.
    """
    stored = {name: rule for name, rule in policy.exceptions.items() if name.split(" / ")[-1] not in shares}
    own = {name: Rule(life=share) for name, share in shares.items()}
    return policy.model_copy(update={"exceptions": {**stored, **own}})


def on_trial(works: Works, policy: str, trials: Mapping[str, Mapping[str, float]]) -> Works:
    """A works with trial policies beside its own, each with other change intervals for some sets.

    Parameters
    ----------
    works : Works
        Stays as it is.
    policy : str
        The policy from which every trial starts.
    trials : mapping
        By the name of the trial policy: shares of life by cutter set.

    Returns
    -------
    Works
    """
    start = works.policies[policy]
    added = {name: with_rules(start, shares) for name, shares in trials.items()}
    return works.model_copy(update={"policies": {**works.policies, **added}})


def outcomes_of(
    candidates: Sequence[Candidate], seed: int, replications: Sequence[int], options: StudyOptions
) -> Iterator[tuple[int, dict[int, dict[int, Outcome]]]]:
    """Run candidates, replication by replication, and tell after each run what is there.

    Parameters
    ----------
    candidates : sequence of Candidate
        What to run.
    seed : int
        Key of all chance.
    replications : sequence of int
        Their numbers.
    options : StudyOptions
        Crew, engine and rules.

    Yields
    ------
    (int, dict)
        Runs done, and the outcomes so far by candidate and replication.
    """
    files = tuple(Path(file).resolve() for file in options.rules)
    places = [(number, replication) for replication in replications for number in range(len(candidates))]
    tasks = [
        Task(candidates[number].works, candidates[number].policy, seed, replication, files, options.engine)
        for number, replication in places
    ]
    answer: dict[int, dict[int, Outcome]] = {number: {} for number in range(len(candidates))}
    for done, (at, outcome) in enumerate(options.crew.runs(tasks), start=1):
        number, replication = places[at]
        answer[number][replication] = outcome
        yield done, answer


def sample_of(candidate: Candidate, outcomes: Mapping[int, Outcome]) -> Sample:
    """The outcomes of one candidate as tables, in the order of the replications."""
    ordered = [outcomes[number] for number in sorted(outcomes)]

    def table(name: str) -> pd.DataFrame:
        return pd.DataFrame([row for outcome in ordered for row in getattr(outcome, name)])

    text = [row["text"] for outcome in ordered for row in outcome.findings if row["is_problem"]]
    details = np.array([outcome.detail_values for outcome in ordered])
    return Sample(candidate, table("figures"), table("times"), table("ledger"), tuple(dict.fromkeys(text)), details)


def characteristics_of(candidate: Candidate, seed: int, replications: Sequence[int], engine: str) -> pd.DataFrame:
    """The characteristics of the shipped parts, replication by replication.

    Parameters
    ----------
    candidate : Candidate
        What is run, in this process; an outcome does not keep them.
    seed : int
        Key of all chance.
    replications : sequence of int
        Their numbers.
    engine : {"fast", "simpy"}
        Which engine runs them.

    Returns
    -------
    pandas.DataFrame
        As `linesim.result.characteristics`, with a column replication.
    """
    tables: list[pd.DataFrame] = []
    for replication in replications:
        result = run(candidate.works, candidate.policy, seed, replication, engine=engine)
        tables.append(result.characteristics.assign(replication=replication))
    answer: pd.DataFrame = pd.concat(tables, ignore_index=True)
    return answer
