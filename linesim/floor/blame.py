"""Who is to blame for the error of a place: the largest term of its account to either side."""

from __future__ import annotations

from linesim.cutting.blame import strongest_term
from linesim.plan.tables import NONE

__all__ = ["Terms"]


class Terms:
    """Largest terms of the error of one place: metal left on (up) and cut away (down), and the suspect of each.

    A suspect is the number of a cut; behind all cuts, of an operation whose machine was bad; ``NONE`` for the casting,
    disturbances and all else.
    """

    __slots__ = ("down_by", "down_um", "up_by", "up_um")

    def __init__(self, error_um: float) -> None:
        self.up_by = self.down_by = NONE
        self.up_um, self.down_um = max(error_um, 0.0), min(error_um, 0.0)

    def moved(self, by_um: float) -> None:
        """Something other than a cut moved the place."""
        if by_um > self.up_um:
            self.up_by, self.up_um = NONE, by_um
        if by_um < self.down_um:
            self.down_by, self.down_um = NONE, by_um

    def cut(self, copied: float, cut: int, own_um: float, fault: int, fault_um: float) -> None:
        """A cut left a share of what it found and added something of its own, and so did a fault of its machine."""
        new = (cut, own_um, fault, fault_um)
        self.up_by, self.up_um = strongest_term(self.up_by, copied * self.up_um, *new, 1.0)
        self.down_by, self.down_um = strongest_term(self.down_by, copied * self.down_um, *new, -1.0)

    def clear(self) -> None:
        """Nothing is left of what was done before."""
        self.up_by = self.down_by = NONE
        self.up_um = self.down_um = 0.0
