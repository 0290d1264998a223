"""What a study holds of one run: figures by line and of the whole works, times, ledger, findings."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache
from pathlib import Path

import numpy as np

from linesim.fast.choice import choose_engine, prepare
from linesim.law import IS_COMPILED
from linesim.plan.build import make_plan
from linesim.plan.plan import Plan
from linesim.plan.same import Same
from linesim.plan.tables import Floats
from linesim.plan.tally import Tally
from linesim.study.crew.own_rules import read_rules, use_rules
from linesim.study.crew.summary import WHOLE_WORKS, Ready, Row, RunSummary, summary_of
from linesim.study.crew.summary_rows import ledger_rows_of, time_rows_of
from linesim.study.one.runs import run_plan
from linesim.works import Works

__all__ = ["WHOLE_WORKS", "Outcome", "Task", "carried_through", "carry_out", "outcome_of", "summarised"]

_PLANS_AT_HAND = 256
"""Plans at hand in a process, some 50 kB each: as many policies as take turns in one study."""


@dataclass(frozen=True)
class Task:
    """One run of a study.

    Attributes
    ----------
    works : Works
        The scenario.
    policy : str
        Name of one of its policies.
    seed, replication : int
        Key of all chance.
    rule_files : tuple of pathlib.Path
        Python files with rules of one's own.
    engine : {"simpy", "fast"}
        Which engine is to run it; both give the same.
    is_told : bool
        Whether its findings and details are wanted; a search, which reads figures alone, does without the time they
        take.
    """

    works: Works
    policy: str
    seed: int
    replication: int
    rule_files: tuple[Path, ...] = ()
    engine: str = "simpy"
    is_told: bool = True


@dataclass(frozen=True)
class Outcome:
    """What a study holds of a run: rows with the policy and the replication in each.

    Attributes
    ----------
    figures : sequence of dict
        One row per line, and one for `WHOLE_WORKS`; the columns of a result's table of lines, with planned and
        unplanned changes per hundred good parts.
    times : sequence of dict
        line, operation, machine, state, share.
    ledger : sequence of dict
        line, item, per_good_part.
    findings : sequence of dict
        text, is_problem.
    details : bytes
        Further figures, float by float, under the heads of `linesim.result.details.Details`; see `detail_values`.
    """

    figures: Sequence[Row]
    times: Sequence[Row]
    ledger: Sequence[Row]
    findings: Sequence[Row]
    details: bytes = b""

    @property
    def detail_values(self) -> Floats:
        """Further figures as an array of float, (heads,)."""
        return np.frombuffer(self.details, dtype=np.float64)


def carry_out(task: Task) -> Outcome:
    """Do one run of a study in this process.

    Parameters
    ----------
    task : Task
        What to run; rule files are loaded first.

    Returns
    -------
    Outcome

    Raises
    ------
    ScenarioError, StudyError, RunError
        As for `linesim.study.run`.
    """
    use_rules([read_rules(file) for file in task.rule_files])
    ready = _ready(Same(task.works), task.policy)
    return outcome_of(summarised(ready, task.seed, task.replication, task.engine, task.is_told), task)


def summarised(ready: Ready, seed: int, replication: int, engine: str, is_told: bool = True) -> RunSummary:
    """Run a plan that is ready, and sum up what a study needs of it, with findings and details or without."""
    return summary_of(ready, carried_through(ready.plan, seed, replication, engine), is_told)


def carried_through(plan: Plan, seed: int, replication: int, engine: str) -> Tally:
    """Run a plan by the engine that is asked for, or by the one that can."""
    is_plain = engine == "fast" and not plan.own_rules
    chosen = _usual_engine(Same(plan)) if is_plain else choose_engine(plan, engine).engine
    return run_plan(plan, seed, replication, engine=chosen)


@lru_cache(maxsize=_PLANS_AT_HAND)
def _usual_engine(same: Same[Plan]) -> str:
    """The engine for a plan without rules in Python; looking after the kernels takes as long as a quarter of a run."""
    return "simpy" if prepare(plan=same.thing) else "fast"


def outcome_of(summary: RunSummary, task: Task) -> Outcome:
    """A run in short, in rows that name the policy and the replication for which it was run.

    Why another engine ran it than was asked for stands among the findings.
    """
    head = {"policy": task.policy, "replication": task.replication}
    findings = [*summary.findings, *((text, False) for text in _engine_note(task))]
    return Outcome(
        figures=[head | row for row in summary.figures],
        times=time_rows_of(summary, head),
        ledger=ledger_rows_of(summary, head),
        findings=[head | {"text": text, "is_problem": is_problem} for text, is_problem in findings],
        details=summary.details.tobytes(),
    )


def _engine_note(task: Task) -> list[str]:
    """Why SimPy runs a task that was to be run by the compiled engine, as a sentence; nothing if it does not."""
    if task.engine == "simpy":
        return []
    policy = task.works.policies[task.policy]
    if IS_COMPILED and all(rule.own is None for rule in (policy.default, *policy.exceptions.values())):
        return []
    why = choose_engine(_ready(Same(task.works), task.policy).plan, task.engine).why
    return [f"{why[0].upper()}{why[1:]}."] if why else []


@lru_cache(maxsize=_PLANS_AT_HAND)
def _ready(same: Same[Works], policy: str) -> Ready:
    """The plan of a works under a policy with its ledger, made once for all replications in this process."""
    return Ready.of(same.thing, make_plan(same.thing, policy))
