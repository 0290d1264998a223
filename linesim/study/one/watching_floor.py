"""A floor of either engine as whoever stands in it sees it: what stands where, what machines do, how edges are."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from functools import cached_property
from typing import NamedTuple, Protocol

import numpy as np

from linesim.fast.choice import choose_engine
from linesim.floor.run import Floor
from linesim.floor.site import Watcher
from linesim.plan.plan import Plan
from linesim.plan.tally import State

__all__ = ["SeenEdge", "SeenFloor", "seen_floor"]


class SeenEdge(NamedTuple):
    """An edge as it is now.

    Attributes
    ----------
    mount : int
        Where it sits.
    life_share : float
        Its true life share.
    parts : int
        Parts that it has cut.
    mounted_min : float, min
        When it was put in, by the calendar.
    is_broken, is_seen : bool
        Whether it has broken without being seen, and whether that is known by now.
    """

    mount: int
    life_share: float
    parts: int
    mounted_min: float
    is_broken: bool
    is_seen: bool


class SeenFloor(Protocol):
    """A floor that can be looked at whenever an instant is over."""

    def run_until(self, minute: float) -> None:
        """Let it run until a moment; listeners may be told of all that happened at the end."""

    def instants(self, minute: float) -> Iterator[float]:
        """Let it run until a moment, instant by instant: each is told of once all that it brings has happened."""

    def states(self) -> Iterator[tuple[int, State]]:
        """What each machine does, machines by number."""

    def stock(self) -> Iterator[tuple[int, int]]:
        """How many parts stand before an operation, for each that has room there, operations by number."""

    def edges(self, machine: int) -> Iterator[SeenEdge]:
        """The edges of a machine."""


def seen_floor(plan: Plan, seed: int, replication: int, watchers: Sequence[Watcher], engine: str) -> SeenFloor:
    """A floor at its beginning.

    Parameters
    ----------
    plan : Plan
        What is run.
    seed, replication : int
        Key of all chance.
    watchers : sequence of Watcher
        Who listens.
    engine : {"fast", "simpy"}
        Which engine is wanted; see `linesim.fast.choice.choose_engine`. Both show the same.

    Raises
    ------
    StudyError
        There is no such engine.
    """
    if choose_engine(plan, engine).engine == "simpy":
        return _SimpyFloor(plan, seed, replication, watchers)
    return _CompiledFloor(plan, seed, replication, watchers)


class _SimpyFloor:
    """The SimPy floor, which tells of everything as it happens."""

    def __init__(self, plan: Plan, seed: int, replication: int, watchers: Sequence[Watcher]) -> None:
        self._floor = Floor(plan, seed, replication, watchers)
        self.run_until = self._floor.run_until

    def instants(self, minute: float) -> Iterator[float]:
        while (due := self._floor.site.env.peek()) < minute:
            self._floor.run_until(math.nextafter(due, math.inf))
            yield due
        self._floor.run_until(minute)

    def states(self) -> Iterator[tuple[int, State]]:
        for number, machine in sorted(self._floor.machines.items()):
            yield number, machine.state

    def stock(self) -> Iterator[tuple[int, int]]:
        for operation, buffer in sorted(self._floor.buffers.items()):
            yield operation, len(buffer.parts)

    def edges(self, machine: int) -> Iterator[SeenEdge]:
        for mount in self._floor.machines[machine].mounts:
            unseen = mount.is_broken, mount.is_seen
            yield SeenEdge(mount.index, mount.life_share, mount.edge.parts, mount.edge.mounted_min, *unseen)


class _CompiledFloor:
    """The compiled floor, followed turn by turn."""

    def __init__(self, plan: Plan, seed: int, replication: int, watchers: Sequence[Watcher]) -> None:
        from linesim.fast.run import FastFloor  # noqa: PLC0415 - loaded only where it is used

        self._floor = FastFloor(plan, seed, replication, watchers)
        self.run_until = self._floor.run_until
        machines = plan.machines
        self._slots = list(zip(machines.first_mount.tolist(), machines.end_mount.tolist(), strict=True))

    def instants(self, minute: float) -> Iterator[float]:
        floor = self._floor
        # What all begin with stands in no agenda.
        due = self._next_min() if floor.now_min > 0.0 else 0.0
        while due < minute:
            floor.follow_until(math.nextafter(due, math.inf))
            yield due
            due = self._next_min()
        floor.run_until(minute)

    def _next_min(self) -> float:
        """When something happens next, once an instant is over; infinite if nothing is due any more."""
        working = self._floor.working
        return float(working.arrays["agenda"]["minute"][int(working.world.final)])

    @cached_property
    def _rooms(self) -> tuple[list[int], list[int]]:
        """Pools in which parts stand before an operation, and the operation of each."""
        from linesim.fast.steps import BUFFER, WAY  # noqa: PLC0415 - as above

        pools = self._floor.working.arrays["pools"]
        numbers = np.flatnonzero(np.isin(pools["way"], (BUFFER, WAY)))
        numbers = numbers[np.argsort(pools["of"][numbers], kind="stable")]
        return numbers.tolist(), pools["of"][numbers].tolist()

    def states(self) -> Iterator[tuple[int, State]]:
        states = self._floor.working.arrays["machines"]["state"]
        for number in range(len(self._slots)):
            yield number, State(int(states[number]))

    def stock(self) -> Iterator[tuple[int, int]]:
        numbers, operations = self._rooms
        return zip(operations, self._floor.working.arrays["pools"]["stock"][numbers].tolist(), strict=True)

    def edges(self, machine: int) -> Iterator[SeenEdge]:
        mounts = self._floor.working.arrays["mounts"]
        for number in range(*self._slots[machine]):
            mount = mounts[number]
            unseen = bool(mount["is_broken"]), bool(mount["is_seen"])
            share, parts, mounted_min = float(mount["life_share"]), int(mount["parts"]), float(mount["mounted_min"])
            yield SeenEdge(number, share, parts, mounted_min, *unseen)
