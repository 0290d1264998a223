"""One run of a works: plan, floor, result."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Protocol

from linesim.errors import LinesimError, StudyError
from linesim.fast.choice import ENGINES, choose_engine
from linesim.floor.run import Floor
from linesim.floor.site import Watcher
from linesim.plan.build import make_plan
from linesim.plan.tables import Plan
from linesim.plan.tally import Tally
from linesim.result import Result
from linesim.study.progress import Progress
from linesim.study.tracing import Tracer
from linesim.works import Works

__all__ = ["ENGINES", "check_key", "run", "run_plan"]

_STEPS = 100


def run(
    works: Works,
    policy: str | None = None,
    seed: int | None = None,
    replication: int = 0,
    trace: bool = False,
    engine: str = "simpy",
    progress: Progress | None = None,
) -> Result:
    """Run a works once under one policy.

    Parameters
    ----------
    works : Works
        The checked scenario.
    policy : str, optional
        Name of one of its policies; the first unless given.
    seed : int, optional
        Key of all chance, 0 to 2**63 - 1; the scenario's unless given.
    replication : int
        Which of the runs with this seed, 0 to 2**63 - 1; the same seed and replication give the same run.
    trace : bool
        Write down what happens, event by event, into the result's ``trace``; the run stays the same.
    engine : {"simpy", "fast"}
        Which engine runs it; both give the same. Where the compiled one cannot (a rule of one's own in Python, no
        compiler) SimPy does, and the result's ``engine_note`` says so.
    progress : callable, optional
        Told (steps done, steps in all) as the simulated time goes on.

    Returns
    -------
    Result

    Raises
    ------
    ScenarioError
        The policy is not known, a cut cannot be made as described, or a rule of one's own is not known.
    StudyError
        The seed, the replication or the engine cannot be.
    RunError
        The run cannot be carried on.
    """
    chosen = next(iter(works.policies)) if policy is None else policy
    key = works.run.seed if seed is None else seed
    check_key(key, replication)
    plan = make_plan(works, chosen)
    choice = choose_engine(plan, engine)
    tracer = Tracer(plan) if trace else None
    tally = run_plan(plan, key, replication, [] if tracer is None else [tracer], progress, choice.engine)
    found = None if tracer is None else tracer.trace()
    return Result(works, plan, tally, key, replication, choice.engine, found, choice.why)


def run_plan(
    plan: Plan,
    seed: int,
    replication: int,
    watchers: Sequence[Watcher] = (),
    progress: Progress | None = None,
    engine: str = "simpy",
) -> Tally:
    """Run a plan, step by step if somebody is to be told how far it is.

    Parameters
    ----------
    plan : Plan
        What to run.
    seed, replication : int
        Key of all chance.
    watchers : sequence of Watcher
        Who listens.
    progress : callable, optional
        Told (steps done, steps in all).
    engine : {"simpy", "fast"}
        Which engine runs it; see `linesim.fast.choice.choose_engine`.

    Returns
    -------
    Tally
        The same in one step or in many.

    Raises
    ------
    StudyError
        A rule of one's own failed.
    """
    try:
        floor = _floor(plan, seed, replication, watchers, engine)
        _advance(floor, 0.0, plan.warm_up_min, progress, 0)
        floor.start_counting()
        _advance(floor, plan.warm_up_min, plan.warm_up_min + plan.length_min, progress, _STEPS)
        return floor.finish()
    except LinesimError:
        raise
    except Exception as error:
        if not plan.own_rules:
            raise
        told = f"{type(error).__name__}: {error}"
        raise StudyError(f'policy "{plan.policy}": a rule of your own failed in the run: {told}') from error


def check_key(seed: int, replication: int) -> None:
    """See to it that a seed and a replication can be used.

    Raises
    ------
    StudyError
        One of them is negative or too large.
    """
    for name, value in (("seed", seed), ("replication", replication)):
        if not 0 <= value < 2**63:
            raise StudyError(f"a {name} of {value} cannot be; a whole number from 0 to 2**63 - 1 was expected")


class _Runs(Protocol):
    """A floor of either engine."""

    def run_until(self, minute: float) -> None:
        """Let the floor run until a moment."""

    def start_counting(self) -> None:
        """Cut off the warm-up."""

    def finish(self) -> Tally:
        """Count up to now, and hand over the tally."""


def _floor(plan: Plan, seed: int, replication: int, watchers: Sequence[Watcher], engine: str) -> _Runs:
    """A floor of the engine that is wanted."""
    if engine == "simpy":
        return Floor(plan, seed, replication, watchers)
    from linesim.fast.run import FastFloor  # noqa: PLC0415 - loaded only where it is used

    return FastFloor(plan, seed, replication, watchers)


def _advance(floor: _Runs, start_min: float, end_min: float, progress: Progress | None, steps_before: int) -> None:
    """Let the floor run on, and tell after each hundredth of the way."""
    steps = 1 if progress is None else _STEPS
    for step in range(1, steps + 1):
        floor.run_until(end_min if step == steps else start_min + (end_min - start_min) * step / steps)
        if progress is not None:
            progress(steps_before + step, 2 * _STEPS)
