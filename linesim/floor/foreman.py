"""The foreman: who gets what, once everything due at an instant has happened.

Whatever machines share — parts and room in the buffers, sharp cutter sets, grinders, setters and fitters — is asked
for with a :class:`Claim` and given out by the :class:`Foreman`. He acts after all else that is due at the same instant,
so that no answer depends on the order in which equal events happen to stand in the queue. Parts move first, until none
can move any more at that instant; then sharp sets are given out, and then people, so that all who need one by then have
asked. First come, first served; among equals downstream first, then by machine number.
"""

from __future__ import annotations

from bisect import insort
from collections.abc import Callable
from enum import IntEnum
from typing import Protocol, TypeVar

import simpy
from simpy.events import Event

from linesim.floor.circles import endless_moves

__all__ = ["Claim", "Foreman", "Pool", "Turn"]

AFTER_ALL_ELSE = 2
"""Priority behind SimPy's urgent (0) and normal (1) events of the same instant."""

MOST_ROUNDS = 100_000
"""Rounds of giving out at one instant past which the line is taken to run in a circle without time passing."""


class Turn(IntEnum):
    """In which order things are given out at one instant: nothing as long as something before it can be."""

    PARTS = 0
    SETS = 1
    PEOPLE = 2
    DOOR = 3
    """Turning castings away that find no room."""
    BATCHES = 4
    """Starting batches with the parts that are there."""


class Claim(Event):
    """One claim on something shared; it comes true when the foreman gives it out.

    Parameters
    ----------
    env : simpy.Environment
        The clock.
    since_min : float
        Since when it has been waiting, minutes.
    rank : tuple of int
        Order among those waiting equally long: (rank of the operation, number of the machine).
    """

    __slots__ = ("rank", "since_min", "stake")

    def __init__(self, env: simpy.Environment, rank: tuple[int, ...], stake: object = None) -> None:
        super().__init__(env)
        self.since_min: float = env.now
        self.rank = rank
        self.stake = stake
        """What the claimant brings with it: the part it wants to move, the dull set it wants ground."""

    def __lt__(self, other: Claim) -> bool:
        return (self.since_min, self.rank) < (other.since_min, other.rank)

    def ahead_of_all(self) -> Claim:
        """The same claim, which stands before those that have waited, in the order of their ranks."""
        self.since_min = -1.0
        return self

    @property
    def wants(self) -> int:
        """Parts that it is waiting for."""
        return 1

    def takes(self, part: object) -> bool:
        """Be given a part; whether the claim is served with it."""
        self.succeed(part)
        return True


class Pool(Protocol):
    """Anything from which the foreman gives out."""

    def give_out(self) -> bool:
        """Serve all waiting claims that can be served now; tell whether any was."""


class Foreman:
    """Gives out shared things when the instant has settled."""

    def __init__(self, env: simpy.Environment) -> None:
        self.env = env
        self._touched: tuple[set[int], ...] = tuple(set() for _ in Turn)
        self._pools: list[Pool] = []
        self._touched_with: list[set[int]] = []
        self._notes: list[tuple[tuple[int, ...], Callable[[], None]]] = []
        self._called = False
        self._instant = -1.0
        self._rounds = 0

    def take_on(self, pool: Pool, turn: Turn) -> int:
        """Look after a pool; returns its number, by which pools of the same turn are served."""
        self._pools.append(pool)
        self._touched_with.append(self._touched[turn])
        return len(self._pools) - 1

    def call(self, pool: int) -> None:
        """Say that a pool has a new claim or something new to give."""
        self._touched_with[pool].add(pool)
        self._come()

    def leave_note(self, rank: tuple[int, ...], note: Callable[[], None]) -> None:
        """Have something done when the instant has settled, before anything is given out (a gauge's message)."""
        self._notes.append((rank, note))
        self._come()

    def _come(self) -> None:
        if self._called:
            return
        self._called = True
        event = Event(self.env)
        # SimPy's succeed() would schedule with normal priority; this event must come behind all else.
        event._ok, event._value = True, None  # noqa: SLF001
        event.callbacks = [self._settle]
        self.env.schedule(event, priority=AFTER_ALL_ELSE)  # type: ignore[arg-type]

    def _settle(self, _: Event) -> None:
        self._called = False
        self._watch_for_circles()
        if self._notes:
            notes, self._notes = self._notes, []
            for _rank, note in sorted(notes, key=lambda ranked: ranked[0]):
                note()
        first = next((touched for touched in self._touched if touched), None)
        if first is None:
            return
        numbers = sorted(first)
        first.clear()
        if any(self._touched):
            self._come()
        for number in numbers:
            self._pools[number].give_out()

    def _watch_for_circles(self) -> None:
        if self.env.now != self._instant:
            self._instant, self._rounds = self.env.now, 0
        self._rounds += 1
        if self._rounds > MOST_ROUNDS:
            raise endless_moves(self.env.now)


def hand(claims: list[Claim], part: object) -> None:
    """Hand a part to the first of those that wait, who may go on waiting for more."""
    if claims[0].takes(part):
        claims.pop(0)


AnyClaim = TypeVar("AnyClaim", bound=Claim)


def queue(claims: list[AnyClaim], claim: AnyClaim) -> None:
    """Put a claim where it belongs among those waiting."""
    if not claims or claims[-1] < claim:
        claims.append(claim)
    else:
        insort(claims, claim)
