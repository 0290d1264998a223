"""Chance on the floor: random numbers by purpose, spot and index, and lengths of time drawn with them."""

from __future__ import annotations

from linesim.chance import Distribution, Purpose, drawn, listed_at, normals, uniform_at, uniforms
from linesim.plan.tables import NONE, Times

__all__ = ["Four", "Timing"]

Four = tuple[float, float, float, float]


class Timing:
    """Times of the plan and random numbers; they depend on seed, replication, purpose, spot and index alone."""

    def __init__(self, times: Times, seed: int, replication: int) -> None:
        self.seed = seed
        self.replication = replication
        self._rows: list[tuple[int, float, float, float]] = list(
            zip(times.distribution.tolist(), times.p1.tolist(), times.p2.tolist(), times.p3.tolist(), strict=True)
        )
        self._lists: list[list[float]] = [
            times.listed[first:end].tolist()
            for first, end in zip(times.list_first.tolist(), times.list_end.tolist(), strict=True)
        ]

    def minutes(self, time: int, purpose: Purpose, spot: int, index: int) -> float:
        """The length of time number ``time`` for this spot and index, minutes; 0 where there is none."""
        if time == NONE:
            return 0.0
        distribution, p1, p2, p3 = self._rows[time]
        if distribution == Distribution.FIXED:
            return p1
        if distribution == Distribution.LISTED:
            values = self._lists[time]
            return values[listed_at(len(values), self.seed, self.replication, int(purpose), spot, index)]
        if distribution == Distribution.IN_ORDER:
            values = self._lists[time]
            return values[index % len(values)]
        return float(drawn(distribution, p1, p2, p3, self.seed, self.replication, int(purpose), spot, index))

    # The compiled functions take a plain number a hundred times faster than a member of an enumeration.

    def uniforms(self, purpose: Purpose, spot: int, index: int, draw: int = 0) -> Four:
        """Four numbers uniform on (0, 1)."""
        return uniforms(self.seed, self.replication, int(purpose), spot, index, draw)

    def uniform(self, purpose: Purpose, spot: int, index: int, number: int) -> float:
        """One number of the stream there, uniform on (0, 1)."""
        return uniform_at(self.seed, self.replication, int(purpose), spot, index, number)

    def normals(self, purpose: Purpose, spot: int, index: int, draw: int = 0) -> Four:
        """Four standard normal numbers."""
        return normals(self.seed, self.replication, int(purpose), spot, index, draw)
