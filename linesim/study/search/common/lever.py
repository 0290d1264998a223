"""One figure of a policy beside its rules, which a search may move."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from linesim.study.comparing.levers import sequence_words
from linesim.words import KeptText, keep
from linesim.works.part_types import SEQUENCE_NAMES

__all__ = ["Lever"]

_UNITS = {"share": "", "every": "parts", "batches": "castings", "overhaul": "min", "sequence": ""}


@dataclass(frozen=True)
class Lever:
    """One figure of a policy beside its rules.

    Attributes
    ----------
    kind : {"aim", "share", "dead band", "every", "batches", "overhaul", "sequence"}
        What it is; values of the last are places in `SEQUENCE_NAMES`.
    key : str
        The set or the gauge, as a policy names it: operation / name; the line; the operation.
    step : float
        By how much it is moved at first, in its unit.
    low, high : float
        Between which it may lie.
    grid : float
        To which it is rounded.
    at : int
        The cut, the gauge, the line or the operation, as the plan counts.
    ratio : tuple of (str, int)
        Of batches: how many castings of each type come in one step of the grid, in their order.
    """

    kind: Literal["aim", "share", "dead band", "every", "batches", "overhaul", "sequence"]
    key: str
    step: float
    low: float
    high: float
    grid: float
    at: int
    ratio: tuple[tuple[str, int], ...] = ()

    @property
    def name(self) -> KeptText:
        """What it is called in tables and sentences."""
        return keep(f"lever.{self.kind}", of=self.key)

    @property
    def is_named(self) -> bool:
        """Whether its values are names, so that nothing lies between two of them."""
        return self.kind == "sequence"

    @property
    def unit(self) -> str:
        """Unit of its values; empty for a share."""
        return _UNITS.get(self.kind, "µm")

    def shown(self, value: float) -> KeptText:
        """A value with its unit, as a person reads it.

        >>> Lever("overhaul", "Op 10", 60.0, 10.0, 6000.0, 10.0, 0).shown(1200.0)
        '1200 min'
        """
        if self.is_named:
            return sequence_words(SEQUENCE_NAMES[round(value)])
        return keep(f"lever.in_{_UNITS.get(self.kind, 'um') or 'shares'}", value=value)

    def snapped(self, value: float) -> float:
        """A value near to one, such as a shop would choose, within what may be."""
        within = min(max(value, self.low), self.high)
        return round(round(within / self.grid) * self.grid, 6)
