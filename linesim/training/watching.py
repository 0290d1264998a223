"""What was done at the machines during a shift, seen on the floor itself and not taken from orders."""

from __future__ import annotations

from collections import Counter, defaultdict
from dataclasses import dataclass, field

from linesim.floor.machine import Machine
from linesim.plan.tables import NONE

__all__ = ["Watched"]


@dataclass
class Watched:
    """Counts of what was done, whoever ordered it.

    Attributes
    ----------
    begun, brushed : Counter of int
        By machine: parts begun, and those before which the locating faces were cleaned.
    moved_um : dict of int to float
        By cut: how far its offset was moved in all, this way and that, µm per side.
    moves : Counter of int
        By cut: how often it was moved.
    """

    begun: Counter[int] = field(default_factory=Counter)
    brushed: Counter[int] = field(default_factory=Counter)
    moved_um: defaultdict[int, float] = field(default_factory=lambda: defaultdict(float))
    moves: Counter[int] = field(default_factory=Counter)
    _offsets: dict[int, tuple[int, dict[int, float]]] = field(default_factory=dict)

    def part_begun(self, machine: Machine) -> None:
        """A machine begins a part, as it is set then."""
        self.begun[machine.index] += 1
        self.brushed[machine.index] += machine.spec.chip_clean_time != NONE
        for mount in machine.mounts:
            edge, before = self._offsets.get(mount.index, (mount.ordinal, {}))
            if edge != mount.ordinal:
                before = {}  # a fresh edge is set anew, which is no correction
            for cut, offset_um in mount.offsets.items():
                by_um = abs(offset_um - before.get(cut, 0.0))
                self.moved_um[cut] += by_um
                self.moves[cut] += by_um > 0.0
            self._offsets[mount.index] = (mount.ordinal, dict(mount.offsets))
