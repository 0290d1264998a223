"""Runs on their way to a worker: many in one parcel, each works sent by its content and unpacked once.

A parcel is plain data, so that any executor can carry it. Trial policies of one works share everything but the policy:
the works travels without its policies, and a worker that has unpacked it once takes only the policies from the next.
"""

from __future__ import annotations

import hashlib
import json
import pickle
import socket
import time
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import NamedTuple

from cachetools import LRUCache

from linesim.errors import LinesimError, StudyError
from linesim.plan.build import Planner, make_plan
from linesim.plan.plan import Plan
from linesim.plan.tally import Tally
from linesim.study.crew.bases import BASES_AT_HAND, Base, Bases, Policies
from linesim.study.crew.outcome import Task, carried_through, summarised
from linesim.study.crew.own_rules import RuleFile, read_rules, use_rules
from linesim.study.crew.summary import Ready, RunSummary, summary_of
from linesim.study.crew.version import model_version
from linesim.works import Works
from linesim.works.policies import Policy

__all__ = [
    "Done",
    "Job",
    "Parcel",
    "carry_job",
    "carry_parcel",
    "goes_with",
    "jobs_of",
    "parcel_of",
    "plan_at_hand",
]

_PLANS_AT_HAND = 256
"""Plans at hand in a worker, some 50 kB each: as many policies as take turns in one study."""


@dataclass(frozen=True)
class Job:
    """One task, ready to be sent and looked up.

    Attributes
    ----------
    number : int
        Its place among the tasks.
    task : Task
    base : Base
        Its works without policies.
    policy_digest : str
        Of what the policy says; remarks do not count.
    rules : tuple of RuleFile
        The rules of one's own that it may use.
    is_here_only : bool
        It needs a rule that is known in this process only, so no other can run it and no store can know it.
    """

    number: int
    task: Task
    base: Base
    policy_digest: str
    rules: tuple[RuleFile, ...]
    is_here_only: bool

    @property
    def policy(self) -> Policy:
        """What the policy says."""
        return self.task.works.policies[self.task.policy]

    @property
    def key(self) -> str:
        """Digest of everything that determines the outcome: 64 hexadecimal digits."""
        rules = [file.digest for file in self.rules]
        task = self.task
        content = (model_version(), self.base.digest, self.policy_digest, task.seed, task.replication, rules)
        return hashlib.sha256(json.dumps(content).encode("ascii")).hexdigest()


class Parcel(NamedTuple):
    """Runs of one works for one worker."""

    base_digest: str
    base_packed: bytes
    rules: tuple[RuleFile, ...]
    engine: str
    is_told: bool
    runs: tuple[tuple[int, str, str, Policy, int, int], ...]
    """Number, name of the policy, its digest, the policy, seed and replication."""


class Done(NamedTuple):
    """What comes back: the runs in short, the seconds that it took, and the error at which it ended, if any."""

    summaries: list[tuple[int, RunSummary]]
    took_s: float
    error: LinesimError | None = None


def jobs_of(tasks: Iterable[Task]) -> list[Job]:
    """Make tasks ready to be sent.

    Raises
    ------
    StudyError
        A file with rules cannot be read.
    ScenarioError
        A policy is not known.
    """
    bases, policies = Bases(), Policies()
    files: dict[Path, RuleFile] = {}
    jobs = []
    for number, task in enumerate(tasks):
        for path in task.rule_files:
            files.setdefault(path, read_rules(path))
        policy = task.works.policies.get(task.policy)
        if policy is None:
            make_plan(task.works, task.policy)  # says what is wrong
        assert policy is not None
        rules = tuple(files[path] for path in task.rule_files)
        here = not rules and any(rule.own is not None for rule in (policy.default, *policy.exceptions.values()))
        jobs.append(Job(number, task, bases.of(task.works), policies.of(policy), rules, here))
    return jobs


def parcel_of(jobs: Sequence[Job]) -> Parcel:
    """Pack jobs of one works, one engine and the same rules."""
    first = jobs[0]
    runs = tuple(
        (job.number, job.task.policy, job.policy_digest, job.policy, job.task.seed, job.task.replication)
        for job in jobs
    )
    return Parcel(first.base.digest, first.base.packed, first.rules, first.task.engine, first.task.is_told, runs)


def goes_with(job: Job, other: Job) -> bool:
    """Whether two jobs may travel in one parcel."""
    is_alike = job.task.engine == other.task.engine and job.task.is_told == other.task.is_told
    return job.base.digest == other.base.digest and job.rules == other.rules and is_alike


def carry_parcel(parcel: Parcel, version: str) -> Done:
    """Do the runs of a parcel, in whatever process this is.

    Parameters
    ----------
    parcel : Parcel
    version : str
        Model version of whoever sends it.

    Returns
    -------
    Done
        With what was done before an error, and the error.
    """
    began = time.perf_counter()
    ran: list[tuple[int, Ready, Tally]] = []
    error: LinesimError | None = None
    try:
        _check_version(version)
        use_rules(parcel.rules)
        for number, name, policy_digest, policy, seed, replication in parcel.runs:
            ready = _unpacked(parcel, name, policy_digest, policy)
            ran.append((number, ready, carried_through(ready.plan, seed, replication, parcel.engine)))
    except LinesimError as raised:
        error = raised
    # Runs are summed up one behind another: each run drives out of the caches what that takes.
    summaries = [(number, summary_of(ready, tally, parcel.is_told)) for number, ready, tally in ran]
    return Done(summaries, time.perf_counter() - began, error)


def carry_job(job: Job) -> Done:
    """Do one run in this process, with nothing packed."""
    began, task = time.perf_counter(), job.task
    try:
        use_rules(job.rules)
        summary = summarised(_at_hand(job), task.seed, task.replication, task.engine, task.is_told)
    except LinesimError as error:
        return Done([], time.perf_counter() - began, error)
    return Done([(job.number, summary)], time.perf_counter() - began)


def _check_version(wanted: str) -> None:
    """See to it that this process has the model of the one that sent the parcel."""
    own = model_version()
    if own != wanted:
        raise StudyError(
            f"the worker on {socket.gethostname()} has linesim {own}, but this study is led by linesim {wanted}; "
            "install the same version on all machines and start the workers anew"
        )


_bases: LRUCache[str, Works] = LRUCache(BASES_AT_HAND)
_planners: LRUCache[str, Planner] = LRUCache(BASES_AT_HAND)
_first_ready: LRUCache[str, Ready] = LRUCache(BASES_AT_HAND)
_plans: LRUCache[tuple[str, str, str], Ready] = LRUCache(_PLANS_AT_HAND)


def _unpacked(parcel: Parcel, name: str, policy_digest: str, policy: Policy) -> Ready:
    """The plan of one of the policies of a parcel, with its ledger."""
    key = (parcel.base_digest, name, policy_digest)
    if key not in _plans:
        base = _bases.get(parcel.base_digest)
        if base is None:
            base = _bases[parcel.base_digest] = pickle.loads(parcel.base_packed)  # noqa: S301 - our own
        _plans[key] = _made_ready(parcel.base_digest, base.model_copy(update={"policies": {name: policy}}), name)
    return _plans[key]


def _at_hand(job: Job) -> Ready:
    """The plan of a job with its ledger; it names rules in Python, which the floor looks up when it begins."""
    key = (job.base.digest, job.task.policy, job.policy_digest)
    if key not in _plans:
        _plans[key] = _made_ready(job.base.digest, job.task.works, job.task.policy)
    return _plans[key]


def plan_at_hand(works: Works, policy: str) -> Plan:
    """The plan of a works under a policy as runs in this process take it; what policies share is made once.

    Raises
    ------
    ScenarioError
        The policy is not known, or a cut cannot be made as described.
    """
    return _at_hand(jobs_of([Task(works, policy, 0, 0)])[0]).plan


def _made_ready(base_digest: str, works: Works, name: str) -> Ready:
    """The plan of a works under one of its policies, with its ledger; all that policies share is made once."""
    planner = _planners.get(base_digest)
    if planner is None:
        planner = _planners[base_digest] = Planner(works)
    plan = planner.plan(name, works.policies[name])
    first = _first_ready.get(base_digest)
    if first is None:
        first = _first_ready[base_digest] = Ready.of(works, plan)
    return first._replace(works=works, plan=plan)
