"""Comparing policies by runs that share their chance."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

from linesim.errors import StudyError
from linesim.fast.choice import choose_engine
from linesim.plan.build import make_plan
from linesim.study.comparison import Comparison
from linesim.study.crew import Crew
from linesim.study.outcome import Outcome, Task
from linesim.study.own_rules import load_rules
from linesim.study.progress import Progress
from linesim.study.runs import check_key
from linesim.works import Works

__all__ = ["compare"]


def compare(
    works: Works,
    policies: Sequence[str] | None = None,
    replications: int | None = None,
    seed: int | None = None,
    confidence: float = 0.95,
    workers: int | None = None,
    progress: Progress | None = None,
    rules: Sequence[str | Path] = (),
    engine: str = "fast",
    crew: Crew | None = None,
) -> Comparison:
    """Run every policy in every replication, and set them against each other.

    Parameters
    ----------
    works : Works
        The checked scenario.
    policies : sequence of str, optional
        Names of the policies to compare; all of the scenario unless given. The first is what the others
        replace.
    replications : int, optional
        Runs of each policy, 1 or more; the scenario's unless given. Without a second one there are no
        intervals.
    seed : int, optional
        Key of all chance, 0 to 2**63 - 1; the scenario's unless given.
    confidence : float
        Of the intervals, between 0 and 1.
    workers : int, optional
        Processes to use. Unless given, as many as the machine has processors if the work is worth it. The
        outcome is the same whatever their number.
    progress : callable, optional
        Told (runs done, runs in all).
    rules : sequence of str or pathlib.Path
        Python files with rules of one's own, loaded here and in the workers. A rule made known in any other
        way is known in this process only, so a comparison that needs it runs in this process.
    engine : {"fast", "simpy"}
        Which engine runs it; both give the same. Policies with a rule of one's own in Python run on SimPy, and the
        findings say so.
    crew : Crew, optional
        Who carries out the runs; a crew of so many workers unless given.

    Returns
    -------
    Comparison

    Raises
    ------
    ScenarioError
        A policy or a rule is not known, or a cut cannot be made as described.
    StudyError
        What is asked for cannot be.
    RunError
        A run cannot be carried on.
    """
    names = _names(works, policies)
    count = works.run.replications if replications is None else replications
    key = works.run.seed if seed is None else seed
    _check(count, key, confidence)
    files = tuple(Path(file).resolve() for file in rules)
    for file in files:
        load_rules(file)
    plans = [make_plan(works, name) for name in names]
    # Compiled here, if need be, so that the workers find it done.
    used = {choose_engine(plan, engine).engine for plan in plans}
    tasks = [Task(works, name, key, replication, files, engine) for replication in range(count) for name in names]
    found: dict[int, Outcome] = {}
    tell = progress or _tell_nobody
    tell(0, len(tasks))
    for number, outcome in (crew or Crew(workers)).runs(tasks):
        found[number] = outcome
        tell(len(found), len(tasks))
    in_order = sorted(found, key=lambda number: (names.index(tasks[number].policy), number))
    return Comparison(works, names, key, count, confidence, [found[number] for number in in_order], used)


def _names(works: Works, policies: Sequence[str] | None) -> tuple[str, ...]:
    """The policies to compare, each once."""
    names = tuple(works.policies if policies is None else policies)
    twice = sorted({name for name in names if names.count(name) > 1})
    if twice:
        raise StudyError(f'policy "{twice[0]}" is named twice; each policy is compared once')
    if not names:
        raise StudyError("no policy is named; at least one is needed")
    return names


def _check(count: int, seed: int, confidence: float) -> None:
    """See to it that a comparison can be made as asked."""
    if count < 1:
        raise StudyError(f"{count} replications were asked for; at least 1 was expected, and 2 for an interval")
    check_key(seed, count - 1)
    if not 0.0 < confidence < 1.0:
        raise StudyError(f"a confidence of {confidence:g} cannot be; a share between 0 and 1 such as 0.95 was expected")


def _tell_nobody(done: int, total: int) -> None:
    """Nobody asked."""
    del done, total
