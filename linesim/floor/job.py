"""One call on people: somebody comes, works for some minutes, and goes."""

from __future__ import annotations

from collections.abc import Generator
from typing import Any, Protocol

import simpy
from simpy.events import Event

from linesim.floor.moments import at_moment
from linesim.floor.people import People
from linesim.floor.people_claim import PeopleClaim
from linesim.plan.tables import NONE
from linesim.plan.tally import State

__all__ = ["Caller", "Job"]

Steps = Generator[Event, Any, Any]


class Caller(Protocol):
    """A machine, as far as those who work at it need to know it."""

    env: simpy.Environment
    index: int
    rank: tuple[int, ...]
    state: State

    def enter(self, state: State) -> None:
        """Begin to do something else."""


class Job:
    """A job of one of a pool of people.

    Parameters
    ----------
    env : simpy.Environment
        The clock.
    people : People or None
        Whose job it is; None if it needs nobody.
    rank : tuple of int
        Order among those who wait equally long.
    machine : Caller, optional
        The machine at which it is done; none at a bench.
    waits : State, optional
        What the machine does until somebody comes; what it does anyway unless given.
    walk_min : float
        Minutes that he walks on afterwards.
    """

    def __init__(
        self,
        env: simpy.Environment,
        people: People | None,
        rank: tuple[int, ...],
        machine: Caller | None = None,
        waits: State | None = None,
        walk_min: float = 0.0,
    ) -> None:
        self.env = env
        self.people = people
        self.rank = rank
        self.machine = machine
        self.waits = waits
        self.walk_min = walk_min
        self.claim: PeopleClaim | None = None

    def come(self) -> Steps:
        """Call somebody, and wait until he is there."""
        if self.people is not None:
            self._enter(self.waits)
            machine = NONE if self.machine is None else self.machine.index
            self.claim = self.people.claim(self.rank, machine=machine)
            yield self.claim

    def work(self, minutes: float) -> Steps:
        """Let the work pass; it is left and taken up again where those who attend go and hand over."""
        while (drop_min := self._left_at(minutes)) is not None:
            if drop_min > self.env.now:
                minutes = max(minutes - (drop_min - self.env.now), 0.0)
                yield at_moment(self.env, drop_min)
            yield from self._hand_over()
        if minutes > 0.0:
            yield self.env.timeout(minutes)

    def end(self) -> None:
        """He is free again."""
        if self.people is not None:
            self.people.release()

    def leave(self) -> None:
        """He stays if the machine wants him again at once, else he walks on and is free then."""
        if self.people is not None:
            assert self.claim is not None
            self.people.linger(self.claim, self.walk_min)

    def _left_at(self, minutes: float) -> float | None:
        """When fewer attend before the work is over, or since this very instant; None if that is not so."""
        if self.people is None or self.people.shifts is None or self.claim is None:
            return None
        shifts, now = self.people.shifts, self.env.now
        if shifts.last_drop_min == now > self.claim.given_min:
            return now
        return shifts.next_drop_min if now + minutes > shifts.next_drop_min else None

    def _hand_over(self) -> Steps:
        assert self.people is not None
        assert self.claim is not None
        works = self.machine.state if self.machine is not None and self.waits is not None else None
        self._enter(self.waits)
        self.claim = self.people.claim_again(self.claim)
        yield self.claim
        self._enter(works)

    def _enter(self, state: State | None) -> None:
        if self.machine is not None and state is not None:
            self.machine.enter(state)
