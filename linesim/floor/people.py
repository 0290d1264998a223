"""Pools of people: setters who change cutters, fitters who repair machines; and the tool grinders."""

from __future__ import annotations

from collections.abc import Callable

import simpy

from linesim.floor.foreman import Claim, Foreman, Turn, queue

__all__ = ["People"]


class People:
    """So many people (or grinders), each of whom does one job at a time.

    Parameters
    ----------
    foreman : Foreman
        Gives them out.
    count : int
        How many there are; 0 or more.
    """

    def __init__(self, env: simpy.Environment, foreman: Foreman, count: int) -> None:
        self.env = env
        self.foreman = foreman
        self.number = foreman.take_on(self, Turn.PEOPLE)
        self.free = count
        self.count = count
        self.waiting: list[Claim] = []
        self.busy_min = 0.0
        self.jobs = 0
        self.waited_min = 0.0
        self.queue_min = 0.0
        self.chooser: Callable[[People], int | None] | None = None
        """Says which of those waiting is served next, by its place; None: nobody before that has been settled."""
        self._since = 0.0

    def claim(self, rank: tuple[int, ...], stake: object = None) -> Claim:
        """Ask for one of them; wait for the claim to come true, and :meth:`release` afterwards."""
        self._account()
        claim = Claim(self.env, rank, stake)
        queue(self.waiting, claim)
        self.foreman.call(self.number)
        return claim

    def release(self) -> None:
        """One of them is free again."""
        self._account()
        self.free += 1
        self.foreman.call(self.number)

    def give_out(self) -> bool:
        """Send the free ones to the longest waiting."""
        given = False
        while self.free and self.waiting:
            at = 0 if self.chooser is None else self.chooser(self)
            if at is None:
                break
            self._account()
            claim = self.waiting.pop(at)
            self.free -= 1
            self.jobs += 1
            self.waited_min += self.env.now - claim.since_min
            claim.succeed(claim.stake)
            given = True
        return given

    def start_counting(self) -> None:
        """Forget what was counted before now."""
        self._since = self.env.now
        self.busy_min = self.waited_min = self.queue_min = 0.0
        self.jobs = 0

    def stop_counting(self) -> None:
        """Count up to now."""
        self._account()

    def _account(self) -> None:
        now = self.env.now
        if now > self._since:
            passed = now - self._since
            self.busy_min += (self.count - self.free) * passed
            self.queue_min += len(self.waiting) * passed
            self._since = now
