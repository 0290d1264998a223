"""Buffers: the parts that may stand waiting before an operation; and the way in and the way out of the line."""

from __future__ import annotations

from collections import deque

import simpy

from linesim.floor.foreman import Claim, Foreman, Turn, hand, queue
from linesim.floor.mixing import chosen, gives_up, may_refuse, note_waiting
from linesim.floor.part import Part

__all__ = ["Buffer", "BufferCount"]


class BufferCount:
    """What a buffer counts: parts through it, how many had to wait and how long, and the stock over time."""

    __slots__ = ("most", "stock_min", "taken", "waited", "waited_min")

    def __init__(self) -> None:
        self.taken = 0
        self.waited = 0
        self.waited_min = 0.0
        self.stock_min = 0.0
        self.most = 0


class Buffer:
    """Parts standing in the order in which they came; machines put into it and take from it.

    Parameters
    ----------
    capacity : int
        Parts that may stand in it; with 0 a part goes straight from machine to machine.
    """

    def __init__(self, env: simpy.Environment, foreman: Foreman, capacity: int) -> None:
        self.env = env
        self.foreman = foreman
        self.number = foreman.take_on(self, Turn.PARTS)
        self.capacity = capacity
        self.parts: deque[tuple[float, Part]] = deque()
        self.takers: list[Claim] = []
        self.givers: list[Claim] = []
        self.count = BufferCount()
        self._since = 0.0

    def take(self, rank: tuple[int, ...], claim: Claim | None = None) -> Claim:
        """Ask for the oldest part; the claim's value is the part, unless it is a claim of another kind."""
        claim = claim or Claim(self.env, rank)
        queue(self.takers, claim)
        self.foreman.call(self.number)
        return claim

    def put(self, part: Part, rank: tuple[int, ...]) -> Claim:
        """Ask for room for a part; when the claim comes true, the part stands in the buffer."""
        claim = Claim(self.env, rank, part)
        queue(self.givers, claim)
        self.foreman.call(self.number)
        return claim

    def lay(self, part: Part) -> None:
        """Put a part down where there is always room; parts of one moment lie in the order of their numbers."""
        self._account()
        now, at = self.env.now, len(self.parts)
        while at > 0 and self.parts[at - 1][0] == now and self.parts[at - 1][1].serial > part.serial:
            at -= 1
        self.parts.insert(at, (now, part))
        self.foreman.call(self.number)

    @property
    def is_full(self) -> bool:
        """No more room, and nobody waiting to take a part whatever it is."""
        return len(self.parts) >= self.capacity and (not self.takers or may_refuse(self.takers))

    def give_out(self) -> bool:
        """Hand parts to the machines that wait and take in parts as there is room, until neither goes on."""
        self._account()
        given = False
        while True:
            at = self._chosen() if self.takers else None
            if at is not None:
                since, part = self.parts[at]
                del self.parts[at]
                self._leaves(since)
                hand(self.takers, part)
            elif self.givers and not self.is_full:
                giver = self.givers.pop(0)
                assert isinstance(giver.stake, Part)
                self.parts.append((self.env.now, giver.stake))
                giver.succeed()
            elif gives_up(self.takers):
                hand(self.takers, None)
            else:
                note_waiting(self.takers, bool(self.parts))
                return given
            given = True

    def _chosen(self) -> int | None:
        """Which part the first of those that wait takes."""
        return chosen(self.takers[0], len(self.parts), lambda: [part for _, part in self.parts])

    def _leaves(self, since: float) -> None:
        self.count.taken += 1
        stood = self.env.now - since
        if stood > 0.0:
            self.count.waited += 1
            self.count.waited_min += stood

    def _account(self) -> None:
        now = self.env.now
        if now > self._since:
            self.count.stock_min += len(self.parts) * (now - self._since)
            self.count.most = max(self.count.most, len(self.parts))
            self._since = now

    def start_counting(self) -> None:
        """Forget what was counted before now."""
        self._since = self.env.now
        self.count = BufferCount()
        self.count.most = len(self.parts)

    def stop_counting(self) -> None:
        """Count up to now."""
        self._account()
