"""What a study keeps of one run: figures by line and of the whole works, times, ledger, findings."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cache, lru_cache
from pathlib import Path

from linesim.fast.choice import choose_engine, prepare
from linesim.law import IS_COMPILED
from linesim.ledger import Pricing
from linesim.plan.build import make_plan
from linesim.plan.same import Same
from linesim.study.crew.kept import WHOLE_WORKS, Kept, Row, kept_of, ledger_rows_of, time_rows_of
from linesim.study.crew.own_rules import read_rules, use_rules
from linesim.study.one.runs import run_plan
from linesim.works import Works

__all__ = ["WHOLE_WORKS", "Outcome", "Task", "carry_out", "keep", "outcome_of"]

_PLANS_KEPT = 256
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
    """

    works: Works
    policy: str
    seed: int
    replication: int
    rule_files: tuple[Path, ...] = ()
    engine: str = "simpy"


@dataclass(frozen=True)
class Outcome:
    """What is kept of it: rows with the policy and the replication in each.

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
    """

    figures: Sequence[Row]
    times: Sequence[Row]
    ledger: Sequence[Row]
    findings: Sequence[Row]


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
    pricing = _pricing(Same(task.works), task.policy)
    return outcome_of(keep(pricing, task.seed, task.replication, task.engine), task)


def keep(pricing: Pricing, seed: int, replication: int, engine: str) -> Kept:
    """Run the plan of a pricing, and keep what a study needs of it."""
    plan = pricing.plan
    is_plain = engine == "fast" and not plan.own_rules
    chosen = _usual_engine() if is_plain else choose_engine(plan, engine).engine
    return kept_of(pricing, run_plan(plan, seed, replication, engine=chosen))


@cache
def _usual_engine() -> str:
    """The engine for a plan without rules in Python; looking after the kernels takes as long as a quarter of a run."""
    return "simpy" if prepare() else "fast"


def outcome_of(kept: Kept, task: Task) -> Outcome:
    """What was kept of a run, in rows that name the policy and the replication for which it was run.

    Why another engine ran it than was asked for stands among the findings.
    """
    head = {"policy": task.policy, "replication": task.replication}
    told = [*kept.findings, *((text, False) for text in _engine_note(task))]
    return Outcome(
        figures=[head | row for row in kept.figures],
        times=time_rows_of(kept, head),
        ledger=ledger_rows_of(kept, head),
        findings=[head | {"text": text, "is_problem": is_problem} for text, is_problem in told],
    )


def _engine_note(task: Task) -> list[str]:
    """Why SimPy runs a task that was to be run by the compiled engine, as a sentence; nothing if it does not."""
    if task.engine == "simpy":
        return []
    policy = task.works.policies[task.policy]
    if IS_COMPILED and all(rule.own is None for rule in (policy.default, *policy.exceptions.values())):
        return []
    why = choose_engine(_pricing(Same(task.works), task.policy).plan, task.engine).why
    return [f"{why[0].upper()}{why[1:]}."] if why else []


@lru_cache(maxsize=_PLANS_KEPT)
def _pricing(same: Same[Works], policy: str) -> Pricing:
    """The plan of a works under a policy and its prices, made once for all replications in this process."""
    return Pricing(same.thing, make_plan(same.thing, policy))
