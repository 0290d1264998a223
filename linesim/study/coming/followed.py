"""One run of the compiled engine, and what a forecast reads off it: changes, people wanted, the state at the end."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np
import numpy.typing as npt

from linesim.fast import steps
from linesim.fast.run import FastFloor
from linesim.floor.part import Part
from linesim.plan.plan import Plan
from linesim.plan.tables import NONE, Floats, Ints
from linesim.plan.tally import State, Tally
from linesim.study.coming.left_standing import parts_standing, sets_standing

__all__ = ["Followed", "Following", "Job"]

_PAUSES = (State.WAITING_FOR_SET, State.WAITING_FOR_SETTER, State.WAITING_FOR_FITTER)
_WORKS = (State.CHANGING, State.CHANGING_OVER, State.SETTING_RIGHT, State.UNDER_REPAIR, State.OVERHAUL)
"""What people of a pool do at a machine; before each the machine waits for one of them."""


@dataclass(frozen=True)
class Job:
    """One job of people at a machine.

    Attributes
    ----------
    pool : int
        Whose.
    machine : int
        Where.
    state : int
        A member of `State`: what they do.
    called_min, begun_min, end_min : float
        When the machine called, when somebody was there, when he went; the end of the run if that is sooner.
    """

    pool: int
    machine: int
    state: int
    called_min: float
    begun_min: float
    end_min: float


@dataclass(frozen=True, eq=False)
class Followed:
    """What was read off one run.

    Attributes
    ----------
    mounts, minutes, counts, shares, whys : array
        Of each change in time: mount, when the set came due, parts and life share of its edge, and why (of
        `linesim.fast.steps`: ``DUE``, ``JOINED``, ``BROKEN``).
    by_hand : array of bool
        Whether somebody was called for the change.
    jobs : list of Job
        Of setters and fitters, in time.
    shipped, scrapped : array
        Parts up to the end, by line.
    state_min : array
        Minutes of each machine in each state.
    worked : array
        Parts whose work was finished, by machine.
    parts : array
        At the end, by mount: parts since its change.
    waiting : array
        At the end, by operation: parts standing before it, those on its machines among them.
    sharp, at_grinder : array
        At the end, by kind: sets that are not mounted.
    down : array of bool
        At the end, by machine.
    wanted : array
        By kind: sharp sets that were asked for, those that a machine still waits for among them.
    short : array of bool
        By kind: whether a machine had to wait for one.
    """

    mounts: Ints
    minutes: Floats
    counts: Ints
    shares: Floats
    whys: Ints
    by_hand: npt.NDArray[np.bool_]
    jobs: list[Job]
    shipped: Ints
    scrapped: Ints
    state_min: Floats
    worked: Ints
    parts: Ints
    waiting: Ints
    sharp: Ints
    at_grinder: Ints
    down: npt.NDArray[np.bool_]
    wanted: Ints
    short: npt.NDArray[np.bool_]


class _Listener:
    """Has the trace written; nothing is ever told to it."""

    def machine_enters(self, now_min: float, machine: int, state: State) -> None:
        """Never called."""

    def part_moves(self, now_min: float, part: Part, operation: int, machine: int, what: str) -> None:
        """Never called."""

    def set_changed(self, now_min: float, machine: int, mount: int, why: str, life_share: float, parts: int) -> None:
        """Never called."""


class Following(FastFloor):
    """A compiled floor whose trace is read as it stands, without telling it to anybody event by event.

    Attributes
    ----------
    tally : Tally
        Sums up to the end, once it was followed there.
    """

    tally: Tally

    def __init__(self, plan: Plan, seed: int, replication: int) -> None:
        self._rows: list[npt.NDArray[Any]] = []
        # Somebody who listens has the engine write its trace, which is read here as it stands.
        super().__init__(plan, seed, replication, [_Listener()])

    def _tell(self) -> None:
        count = int(self.working.world.n_trace)
        self._rows.append(self.working.arrays["trace_rows"][:count].copy())
        self.working.world.n_trace = 0

    def put_rules(self, rules: Ints) -> None:
        """From now on the sets are changed by these rules, by mount."""
        self.working.arrays["mounts"]["rule"][: len(rules)] = rules

    def followed(self) -> Followed:
        """What was read off the run up to now; it ends here."""
        plan, now_min = self.plan, self.now_min
        rows = np.concatenate(self._rows) if self._rows else self.working.arrays["trace_rows"][:0]
        rows = rows[rows["machine"] < len(plan.machines.operation)]
        changes = rows[rows["what"] == steps.SET_CHANGED]
        jobs = _jobs(plan, rows[rows["what"] == steps.ENTERS], now_min)
        called = {(job.machine, job.called_min) for job in jobs if job.state == State.CHANGING}
        tally = self.tally = self.finish()
        arrays = self.working.arrays
        shelf, kinds = int(self.working.world.first_shelf), len(plan.kinds.sets)
        claims = arrays["pools"]["n_claims"][shelf : shelf + kinds].astype(np.int64)
        states, mounts = arrays["machines"]["state"][: len(plan.machines.operation)], arrays["mounts"]
        return Followed(
            changes["subject"].astype(np.int64), changes["minute"].copy(), changes["count"].astype(np.int64),
            changes["life_share"].copy(), changes["role"].astype(np.int64), _by_hand(plan, changes, called),
            jobs, tally.shipped, tally.scrapped_parts, tally.state_min, tally.worked,
            mounts["parts"][: len(plan.mounts.kind)].astype(np.int64), parts_standing(self),
            *sets_standing(self), np.isin(states, (State.WAITING_FOR_FITTER, State.UNDER_REPAIR)),
            tally.set_claims + claims, (tally.set_waited_min > 0.0) | (claims > 0),
        )  # fmt: skip


def _by_hand(plan: Plan, changes: npt.NDArray[Any], called: set[tuple[int, float]]) -> npt.NDArray[np.bool_]:
    """Whether somebody does a change: who was called, or whoever is there where an operation has no setters."""
    has_setters = plan.operations.setters[plan.machines.operation] != NONE
    columns = (changes["machine"].tolist(), changes["minute"].tolist())
    return np.array([at in called or not has_setters[at[0]] for at in zip(*columns, strict=True)], dtype=bool)


def _jobs(plan: Plan, entered: npt.NDArray[Any], end_min: float) -> list[Job]:
    """Jobs of people, out of what machines did one after another."""
    jobs: list[Job] = []
    pools = _pools(plan)
    rows = entered[np.argsort(entered["machine"], kind="stable")]
    counts = np.isin(rows["subject"], (*_PAUSES, *_WORKS))
    rows = rows[counts | np.append(False, counts[:-1]) | _is_first(rows["machine"])]
    ends = np.append(rows["minute"], end_min)[1:]
    ends[np.append(_is_first(rows["machine"]), True)[1:]] = end_min
    called_min = -1.0
    columns = (rows["machine"].tolist(), rows["subject"].tolist(), rows["minute"].tolist(), ends.tolist())
    for machine, state, since_min, until_min in zip(*columns, strict=True):
        if state in _PAUSES:
            called_min = since_min if called_min < 0.0 else called_min
            continue
        if state in _WORKS and called_min >= 0.0:
            pool = pools[state][int(plan.machines.operation[machine])] if state != State.OVERHAUL else int(
                plan.upkeeps.overhaul_people[machine])  # fmt: skip
            if pool != NONE:
                jobs.append(Job(int(pool), machine, state, called_min, since_min, until_min))
        called_min = -1.0
    return sorted(jobs, key=lambda job: (job.called_min, job.machine))


def _is_first(machines: Ints) -> npt.NDArray[np.bool_]:
    return np.append(True, machines[1:] != machines[:-1])[: len(machines)]


def _pools(plan: Plan) -> dict[int, Ints]:
    """By what is done at a machine: whose job it is, by operation."""
    setters, fitters = plan.operations.setters, plan.operations.fitters
    people = {State.CHANGING: setters, State.SETTING_RIGHT: setters, State.UNDER_REPAIR: fitters}
    return {int(state): pool for state, pool in people.items()} | {int(State.CHANGING_OVER): plan.mixes.people}
