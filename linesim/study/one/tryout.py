"""A works laid out once under one policy, and run as often as wanted; and one run by itself."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING

from cachetools import LRUCache

from linesim.fast.choice import Choice, choose_engine
from linesim.plan.build import make_plan
from linesim.plan.plan import Plan
from linesim.plan.same import Same
from linesim.result import Result
from linesim.study.one.progress import Progress
from linesim.study.one.runs import check_key, run_plan
from linesim.study.one.stopping import Wish
from linesim.study.one.tracing import Tracer
from linesim.works import Works

if TYPE_CHECKING:
    from linesim.study.one.columns import ColumnTracer

__all__ = ["Tryout", "run"]

_PLANS_AT_HAND = 32


class Tryout:
    """A works laid out under one policy, ready to be run again and again; laying it out takes longer than a run.

    Parameters
    ----------
    works : Works
        The checked scenario.
    policy : str, optional
        Name of one of its policies; today's practice unless given.
    engine : {"fast", "simpy"}
        Which engine runs it; both give the same. Where the compiled one cannot (a rule of one's own in Python, no
        compiler) SimPy does, and a result's ``engine_note`` says so.

    Raises
    ------
    ScenarioError
        The policy is not known, a cut cannot be made as described, or a rule of one's own is not known.
    StudyError
        There is no such engine.

    Examples
    --------
    >>> from linesim.works import load_works
    >>> tryout = Tryout(load_works("scenarios/smallest.yaml"), "every 60 parts")
    >>> first, second = tryout.runs(2)
    >>> first.replication, second.replication, second.seed == tryout.works.run.seed
    (0, 1, True)
    """

    def __init__(self, works: Works, policy: str | None = None, engine: str = "fast") -> None:
        self.works = works
        self.plan = _plan_of(works, works.chosen_policy(policy))
        self._choice = _choice_of(self.plan, engine)

    @property
    def policy(self) -> str:
        """Under which it is run."""
        return self.plan.policy

    @property
    def engine(self) -> str:
        """Which engine runs it."""
        return self._choice.engine

    def __repr__(self) -> str:
        """The works and the policy."""
        return f'<Tryout of {self.works.name} under "{self.policy}", {self.engine} engine>'

    def runs(self, count: int, seed: int | None = None) -> Iterator[Result]:
        """Replications from 0, one after another, all with the same seed; see `run`."""
        return (self.run(replication, seed) for replication in range(count))

    def run(
        self,
        replication: int = 0,
        seed: int | None = None,
        trace: bool = False,
        progress: Progress | None = None,
        trace_to: Path | None = None,
        keeps_on_interrupt: bool = False,
    ) -> Result:
        """Run it once.

        Parameters
        ----------
        replication : int
            Which of the runs with this seed, 0 to 2**63 - 1; the same seed and replication give the same run.
        seed : int, optional
            Key of all chance, 0 to 2**63 - 1; the scenario's unless given.
        trace : bool
            Write down what happens, event by event, into the result's ``trace``; the run stays the same.
        progress : callable, optional
            Is called with (steps done, steps in all) as the simulated time goes on.
        trace_to : Path, optional
            Write what happens as columns into this folder, or this one file that ends with ``.parquet``, slice by
            slice; see `linesim.study.one.columns`. The files are the same from either engine.
        keeps_on_interrupt : bool
            Whether an interrupt (Ctrl-C) ends the run within a second and leaves the result of the minutes that it
            did; the result's ``stopped_at_min`` says where. Without it, or in the warm-up, an interrupt is a
            KeyboardInterrupt.

        Returns
        -------
        Result

        Raises
        ------
        StudyError
            The seed or the replication cannot be.
        RunError
            The run cannot be carried on.
        """
        works, plan, choice = self.works, self.plan, self._choice
        key = works.run.seed if seed is None else seed
        check_key(key, replication)
        tracer = Tracer(plan) if trace else None
        files = None if trace_to is None else _files(plan, trace_to, key, replication)
        watchers = [each for each in (tracer, files) if each is not None]
        end_min = plan.warm_up_min
        try:
            with Wish(keeps_on_interrupt) as wish:
                tally = run_plan(plan, key, replication, watchers, progress, choice.engine, wish)
            end_min += tally.counted_min
        finally:
            if files is not None:
                files.close(end_min)
        stopped_at_min = end_min if wish.is_there and tally.counted_min < plan.length_min else None
        done = plan if stopped_at_min is None else replace(plan, length_min=tally.counted_min)
        written = None if tracer is None else tracer.trace(end_min)
        return Result(works, done, tally, key, replication, choice.engine, written, choice.why, stopped_at_min)


def run(
    works: Works,
    policy: str | None = None,
    seed: int | None = None,
    replication: int = 0,
    trace: bool = False,
    engine: str = "fast",
    progress: Progress | None = None,
    trace_to: Path | None = None,
    keeps_on_interrupt: bool = False,
) -> Result:
    """Run a works once under one policy; a `Tryout` of one run.

    Parameters
    ----------
    works, policy, engine
        As for `Tryout`.
    seed, replication, trace, progress, trace_to, keeps_on_interrupt
        As for `Tryout.run`.

    Returns
    -------
    Result

    Raises
    ------
    ScenarioError, StudyError, RunError
        As for `Tryout` and its `run`.
    """
    tryout = Tryout(works, policy, engine)
    return tryout.run(replication, seed, trace, progress, trace_to, keeps_on_interrupt)


_plans: LRUCache[tuple[Same[Works], str], Plan] = LRUCache(_PLANS_AT_HAND)


def _plan_of(works: Works, policy: str) -> Plan:
    """The plan of a works under a policy, laid out once as long as it is the very same works."""
    key = (Same(works), policy)
    plan = _plans.get(key)
    if plan is None:
        plan = _plans[key] = make_plan(works, policy)
    return plan


_choices: LRUCache[tuple[Same[Plan], str], Choice] = LRUCache(_PLANS_AT_HAND)


def _choice_of(plan: Plan, engine: str) -> Choice:
    """Which engine runs a plan, found out once: looking whether its kernels are kept takes longer than a short run."""
    key = (Same(plan), engine)
    choice = _choices.get(key)
    if choice is None:
        choice = choose_engine(plan, engine)
        if not choice.why:
            _choices[key] = choice
    return choice


def _files(plan: Plan, path: Path, seed: int, replication: int) -> ColumnTracer:
    """A trace that goes into files."""
    from linesim.study.one.columns import ColumnTracer  # noqa: PLC0415 - loaded only where it is used

    about = {"policy": plan.policy, "digest": plan.digest, "seed": str(seed), "replication": str(replication)}
    return ColumnTracer(plan, path, about)
