"""Running one plan on both engines, and the first event in which they differ."""

from __future__ import annotations

from dataclasses import fields
from typing import Any

import numpy as np
import pytest

from linesim.cutting.component import Component
from linesim.errors import RunError
from linesim.fast.run import run_fast
from linesim.floor.part import Part
from linesim.floor.run import run_floor
from linesim.plan.plan import Plan
from linesim.plan.tally import State, Tally
from linesim.plan.whereabouts import Whereabouts

__all__ = ["Recorder", "assert_twins_agree", "both_refuse", "different_fields", "first_difference"]

Event = tuple[Any, ...]

_BEFORE = 5
_CRIB = -10


class Recorder:
    """Writes down all that it hears, with the features of parts that are complete or scrapped.

    Parameters
    ----------
    with_bench : set of int
        Machines beside which parts are done, on the bench of their first pieces, while the machine has others.
    """

    def __init__(self, with_bench: frozenset[int] = frozenset()) -> None:
        self.events: list[Event] = []
        self.with_bench = with_bench

    def machine_enters(self, now_min: float, machine: int, state: State) -> None:
        """A machine begins to do something else."""
        self.events.append((now_min, machine, "enters", state.name))

    def part_moves(self, now_min: float, part: Part, operation: int, machine: int, what: str) -> None:
        """A part moves."""
        features: Event = ()
        if what in ("complete", "scrapped", "turned down", "sorted"):
            true = (part.values_um(of) for of in Component)
            places = (*true, part.is_clean, part.is_machined)
            features = tuple(tuple(values) for values in places)
        self.events.append((now_min, machine, what, part.line, part.serial, operation, features))

    def set_changed(self, now_min: float, machine: int, mount: int, why: str, life_share: float, parts: int) -> None:
        """A set is changed."""
        self.events.append((now_min, machine, "changed", mount, why, life_share, parts))

    def set_moves(self, now_min: float, kind: int, number: int, where: Whereabouts, machine: int) -> None:
        """A set moves in the crib; sets stand before the machines."""
        self.events.append((now_min, _CRIB - kind, where.words, number, machine))

    def in_order(self) -> list[Event]:
        """By moment and machine; what one machine does at one moment stays in its order, and what its bench does."""
        return sorted(self.events, key=self._key)

    def _key(self, event: Event) -> Event:
        """What parts do as they leave a machine that has a bench comes after all else of the moment, part by part."""
        if event[1] <= _CRIB:
            return (*event[:2], False, event[3])
        is_apart = event[1] in self.with_bench and event[2] in ("complete", "scrapped", "turned down", "sorted", "left")
        return (*event[:2], is_apart, event[4] if is_apart else 0)


def first_difference(simpy: list[Event], fast: list[Event]) -> str:
    """Say at which event two traces part, on both sides, with the events before; empty if they are equal.

    >>> print(first_difference([(1.0, 0, "enters", "CUTTING")], [(1.0, 0, "enters", "LOADING")]))
    event 0 differs
        simpy: (1.0, 0, 'enters', 'CUTTING')
        fast:  (1.0, 0, 'enters', 'LOADING')
    """
    for number in range(max(len(simpy), len(fast))):
        left = simpy[number] if number < len(simpy) else "nothing more"
        right = fast[number] if number < len(fast) else "nothing more"
        if left != right:
            before = [f"    before: {event}" for event in simpy[max(number - _BEFORE, 0) : number]]
            lines = [f"event {number} differs", *before, f"    simpy: {left}", f"    fast:  {right}"]
            return "\n".join(lines)
    return ""


def different_fields(simpy: Tally, fast: Tally) -> list[str]:
    """Names of the figures of two tallies that are not exactly equal."""
    names = [field.name for field in fields(Tally)]
    return [name for name in names if not np.array_equal(getattr(simpy, name), getattr(fast, name))]


def both_refuse(plan: Plan, seed: int = 1) -> str:
    """What both engines say where they refuse to go on; it must be the same, word for word."""
    told = []
    for engine in (run_floor, run_fast):
        with pytest.raises(RunError) as caught:
            engine(plan, seed, 0)
        told.append(str(caught.value))
    assert told[0] == told[1]
    return told[0]


def assert_twins_agree(plan: Plan, seed: int = 1, replication: int = 0) -> Tally:
    """Run a plan on both engines, with and without a trace, and compare everything with ``==``.

    Returns
    -------
    Tally
        Of the SimPy floor.
    """
    beside = plan.first_pieces.runs_on + plan.rooms.benches
    runs_on = np.flatnonzero(beside[plan.machines.operation])
    left, right = (Recorder(frozenset(runs_on.tolist())) for _ in range(2))
    simpy, fast = run_floor(plan, seed, replication, [left]), run_fast(plan, seed, replication, [right])
    difference = first_difference(left.in_order(), right.in_order())
    assert not difference, difference
    for name in different_fields(simpy, fast):
        raise AssertionError(f"{name}:\n    simpy: {getattr(simpy, name)}\n    fast:  {getattr(fast, name)}")
    untraced = run_fast(plan, seed, replication)
    assert not different_fields(simpy, untraced)
    return simpy
