"""A floor of either engine as whoever stands in it sees it: what stands where, what machines do, how edges are."""

from __future__ import annotations

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
    """An edge as it is now: its mount, its true life share, parts that it has cut, when it was put in (calendar)."""

    mount: int
    life_share: float
    parts: int
    mounted_min: float


class SeenFloor(Protocol):
    """A floor that can be looked at between two moments, and as its listeners are told of something."""

    def run_until(self, minute: float) -> None:
        """Let it run until a moment; listeners may be told of all that happened at the end."""

    def follow_until(self, minute: float) -> None:
        """Let it run until a moment; whoever is told of something finds the floor as it stands just then."""

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
        self.run_until = self.follow_until = self._floor.run_until

    def states(self) -> Iterator[tuple[int, State]]:
        for number, machine in sorted(self._floor.machines.items()):
            yield number, machine.state

    def stock(self) -> Iterator[tuple[int, int]]:
        for operation, buffer in sorted(self._floor.buffers.items()):
            yield operation, len(buffer.parts)

    def edges(self, machine: int) -> Iterator[SeenEdge]:
        for mount in self._floor.machines[machine].mounts:
            yield SeenEdge(mount.index, mount.life_share, mount.edge.parts, mount.edge.mounted_min)


class _CompiledFloor:
    """The compiled floor, followed turn by turn."""

    def __init__(self, plan: Plan, seed: int, replication: int, watchers: Sequence[Watcher]) -> None:
        from linesim.fast.run import FastFloor  # noqa: PLC0415 - loaded only where it is used

        self._floor = FastFloor(plan, seed, replication, watchers)
        self.run_until, self.follow_until = self._floor.run_until, self._floor.follow_until
        machines = plan.machines
        self._slots = list(zip(machines.first_mount.tolist(), machines.end_mount.tolist(), strict=True))

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
            yield SeenEdge(number, float(mount["life_share"]), int(mount["parts"]), float(mount["mounted_min"]))
