"""Runs of alternatives, replication by replication, with the same chance for all of them."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from contextlib import closing
from dataclasses import dataclass, field, replace
from pathlib import Path
from typing import Any

from linesim.errors import StudyError
from linesim.fast.choice import choose_engine
from linesim.study.comparing.alternatives import Alternative, plans_of
from linesim.study.crew.crew import Crew
from linesim.study.crew.outcome import Outcome, Task
from linesim.study.crew.own_rules import load_rules
from linesim.study.options import StudyOptions

__all__ = ["Rounds", "make_rounds"]

_LABELLED = ("figures", "times", "ledger", "findings")


@dataclass(eq=False)
class Rounds:
    """What has been run so far; one round is one replication of everything that is still in the study.

    Attributes
    ----------
    alternatives : tuple of Alternative
        All of them, in the order in which they were named.
    seed : int
        Key of all chance.
    crew : Crew
        Who carries the runs out.
    rule_files : tuple of Path
        Files with rules of the user's own.
    engine : str
        Which engine is wanted.
    engines : frozenset of str
        Which engines run it.
    outcomes : dict
        By name and replication; the rows in it carry the alternative's name as their policy.
    """

    alternatives: tuple[Alternative, ...]
    seed: int
    crew: Crew
    rule_files: tuple[Path, ...] = ()
    engine: str = "fast"
    engines: frozenset[str] = frozenset()
    outcomes: dict[tuple[str, int], Outcome] = field(default_factory=dict)

    @property
    def names(self) -> tuple[str, ...]:
        """Names of all alternatives."""
        return tuple(alternative.name for alternative in self.alternatives)

    def more(self, first: int, end: int, names: Sequence[str] | None = None) -> Iterator[None]:
        """Run some replications; what is known already is not run again.

        Parameters
        ----------
        first, end : int
            Replications from the first up to, and without, the end.
        names : sequence of str, optional
            Of which alternatives; of all unless given.

        Yields
        ------
        None
            After each run that has ended.
        """
        wanted = [alternative for alternative in self.alternatives if names is None or alternative.name in names]
        asked = [
            (alternative, at)
            for at in range(first, end)
            for alternative in wanted
            if (alternative.name, at) not in self.outcomes
        ]
        tasks = [Task(each.works, each.policy, self.seed, at, self.rule_files, self.engine) for each, at in asked]
        runs: Any = self.crew.runs(tasks)
        with closing(runs):
            for number, outcome in runs:
                alternative, at = asked[number]
                self.outcomes[alternative.name, at] = _labelled(outcome, alternative)
                yield

    def complete(self, names: Sequence[str] | None = None) -> int:
        """How many replications, from the first on, are there of every alternative named (of all unless given)."""
        wanted = self.names if names is None else names
        count = 0
        while wanted and all((name, count) in self.outcomes for name in wanted):
            count += 1
        return count

    def outcomes_of(self, counts: dict[str, int]) -> list[Outcome]:
        """Outcomes of so many replications of each alternative, one alternative after another."""
        return [self.outcomes[name, at] for name in self.names for at in range(counts[name])]


def make_rounds(alternatives: Sequence[Alternative], options: StudyOptions) -> Rounds:
    """See to it that alternatives can be run, and be ready to.

    Parameters
    ----------
    alternatives : sequence of Alternative
        At least one; names unlike each other. The works of the first gives the seed unless the options do.
    options : StudyOptions
        Seed, engine, rules and crew. A rule of one's own that is known in this process only is run in this process,
        whoever the crew is.

    Returns
    -------
    Rounds

    Raises
    ------
    ScenarioError
        A policy or a rule is not known, or a cut cannot be made as described.
    StudyError
        There is none, two have the same name, or the seed or the engine cannot be.
    """
    names = [alternative.name for alternative in alternatives]
    twice = sorted({name for name in names if names.count(name) > 1})
    if twice:
        raise StudyError(f'policy "{twice[0]}" is named twice; each is compared once')
    if not names:
        raise StudyError("there is nothing to compare; at least one alternative is needed")
    seed, engine = options.seed_for(alternatives[0].works), options.engine
    files = tuple(Path(file).resolve() for file in options.rules)
    for file in files:
        load_rules(file)
    plans = plans_of(alternatives)
    # Compiled here, if need be, so that the workers find it done.
    used = frozenset(choose_engine(plan, engine).engine for plan in plans)
    here_only = not files and any(plan.own_rules for plan in plans)
    crew = replace(options.crew, workers=1) if here_only else options.crew
    return Rounds(tuple(alternatives), seed, crew, files, engine, used)


def _labelled(outcome: Outcome, alternative: Alternative) -> Outcome:
    """The same outcome, whose rows carry the alternative's name in the column of the policy."""
    if alternative.name == alternative.policy:
        return outcome
    rows: dict[str, Any] = {
        name: [row | {"policy": alternative.name} for row in getattr(outcome, name)] for name in _LABELLED
    }
    return replace(outcome, **rows)
