"""A claim on one of a pool of people, and what their shifts know of the pool."""

from __future__ import annotations

import math
from typing import Protocol

import simpy

from linesim.floor.foreman import Claim

__all__ = ["PeopleClaim", "Pool"]


class PeopleClaim(Claim):
    """A claim on one of a pool.

    Parameters
    ----------
    env, rank, stake
        As for any claim.
    machine : int
        Where one is wanted, for the count of waits while nobody attends; ``NONE`` at a bench.
    """

    __slots__ = ("absent_min", "from_min", "given_min", "is_again", "machine")

    def __init__(self, env: simpy.Environment, rank: tuple[int, ...], stake: object, machine: int) -> None:
        super().__init__(env, rank, stake)
        self.machine = machine
        self.from_min: float = env.now
        """Since when it waits; the turn goes by when it was first made."""
        self.given_min = math.nan
        self.is_again = False
        """Whether it is for a job that has been begun."""
        self.absent_min = 0.0
        """Minutes in which nobody attended, up to when it began to wait."""


class Pool(Protocol):
    """People, as far as their shifts need to know them."""

    env: simpy.Environment
    count: int
    waiting: list[PeopleClaim]
    busy_min: float
    beyond_min: float
    queue_min: float

    def attend(self, count: int) -> None:
        """From now on so many attend."""

    def account(self) -> None:
        """Count who was busy and who waited, up to now."""
