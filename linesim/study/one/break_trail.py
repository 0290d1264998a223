"""Edges that broke without being seen through a stretch of a run: when each broke, and when that was found."""

from __future__ import annotations

import math
from dataclasses import dataclass

import pandas as pd

from linesim.plan.plan import Plan
from linesim.study.one.tracing import place_of
from linesim.study.one.watching_floor import SeenEdge

__all__ = ["BREAKS", "BreakTrail"]

BREAKS = ["line", "operation", "machine", "cutter", "broke_min", "found_min", "parts"]


@dataclass
class _Break:
    """An edge that has broken; `found_min` is nan until somebody knows."""

    mount: int
    broke_min: float
    found_min: float


class BreakTrail:
    """Looks at the edges that may break unseen.

    Parameters
    ----------
    plan : Plan
        What is run.

    Attributes
    ----------
    machines : list of int
        Those with such edges.
    """

    def __init__(self, plan: Plan) -> None:
        self._plan = plan
        self._unseen = {mount for mount, kind in enumerate(plan.mounts.kind.tolist()) if plan.kinds.seen_after[kind]}
        self.machines = sorted({int(plan.mounts.machine[mount]) for mount in self._unseen})
        self._done_min: dict[int, list[float]] = {machine: [] for machine in self.machines}
        """When parts were done or scrapped at each of these machines."""
        self._open: dict[int, _Break] = {}
        self._breaks: list[_Break] = []

    def see(self, now_min: float, edge: SeenEdge) -> None:
        """An edge that is at work, as it is now."""
        if edge.mount not in self._unseen or not edge.is_broken:
            return
        if edge.mount not in self._open:
            self._open[edge.mount] = _Break(edge.mount, now_min, math.nan)
            self._breaks.append(self._open[edge.mount])
        broken = self._open[edge.mount]
        if edge.is_seen and math.isnan(broken.found_min):
            broken.found_min = now_min

    def part_done(self, now_min: float, machine: int) -> None:
        """A part is complete or scrapped at a machine."""
        if machine in self._done_min:
            self._done_min[machine].append(now_min)

    def changed(self, now_min: float, mount: int) -> None:
        """The edge is taken off; whoever does that finds it broken."""
        broken = self._open.pop(mount, None)
        if broken is not None and math.isnan(broken.found_min):
            broken.found_min = now_min

    def begin(self) -> None:
        """From now on it is known when an edge broke; what was broken before has no moment."""
        for broken in self._open.values():
            broken.broke_min = math.nan

    def table(self) -> pd.DataFrame:
        """One row for each edge, in the order in which they broke; see `ShiftRecord`."""
        kinds, names = self._plan.mounts.kind.tolist(), self._plan.names.kinds
        machines = self._plan.mounts.machine.tolist()
        rows = [
            (*place_of(self._plan, machines[each.mount]), names[kinds[each.mount]], each.broke_min, each.found_min,
             self._parts(each))
            for each in sorted(self._breaks, key=_moment)
        ]  # fmt: skip
        return pd.DataFrame(rows, columns=BREAKS)

    def _parts(self, broken: _Break) -> int:
        """Parts done at the machine from when the edge broke until that was found."""
        since_min = -math.inf if math.isnan(broken.broke_min) else broken.broke_min
        until_min = math.inf if math.isnan(broken.found_min) else broken.found_min
        done_min = self._done_min[int(self._plan.mounts.machine[broken.mount])]
        return sum(since_min < minute <= until_min for minute in done_min)


def _moment(broken: _Break) -> tuple[float, int]:
    return (-math.inf if math.isnan(broken.broke_min) else broken.broke_min), broken.mount
