"""What can be seen at a machine of a mounted cutter set, and what a rule for changing it is asked."""

from __future__ import annotations

from abc import ABC, abstractmethod

__all__ = ["ChangeRule", "Edge"]


class Edge:
    """What is known at the machine of one mounted cutter set.

    Attributes
    ----------
    set_name : str
        Name of the cutter set.
    parts : int
        Parts cut since it was put in.
    cut_min : float
        Cutting minutes since then.
    mounted_min : float
        When it was put in, by the calendar: worked minutes from the start of the week in which the run begins.
    expected_life_min : float
        Cutting minutes that an average edge lasts here; infinite if it does not dull.
    wear_limit_mm : float
        Wear land at which it counts as dull, mm.
    parts_since_look : int
        Parts cut since the edge was last looked at, or put in.
    wear_read_mm : float or None
        Wear land at the last look, mm.
    size_read_um : float or None
        Last gauge reading of what it cut, µm of metal left on (+) or cut away (-) per side.
    roughness_read_um : float or None
        Last reading of Ra, µm.
    was_rejected : bool
        A gauge has turned down a part that it cut.
    load_read : float
        Last reading of the spindle's load over that of a sharp edge, a mean where the rule takes one; 0 if there was
        none.
    load_count, load_sum : int, float
        Readings since then, and their sum.
    """

    __slots__ = (
        "cut_min",
        "expected_life_min",
        "load_count",
        "load_read",
        "load_sum",
        "mounted_min",
        "parts",
        "parts_since_look",
        "roughness_read_um",
        "set_name",
        "size_read_um",
        "was_rejected",
        "wear_limit_mm",
        "wear_read_mm",
    )

    def __init__(self, set_name: str, expected_life_min: float, wear_limit_mm: float) -> None:
        self.set_name = set_name
        self.expected_life_min = expected_life_min
        self.wear_limit_mm = wear_limit_mm
        self.put_in(0.0)

    def put_in(self, now_min: float) -> None:
        """A sharp edge begins: nothing is known of it yet."""
        self.parts = 0
        self.cut_min = 0.0
        self.mounted_min = now_min
        self.parts_since_look = 0
        self.wear_read_mm: float | None = None
        self.size_read_um: float | None = None
        self.roughness_read_um: float | None = None
        self.was_rejected = False
        self.load_count, self.load_sum, self.load_read = 0, 0.0, 0.0


class ChangeRule(ABC):
    """A rule for changing a cutter set. Subclass it, define :meth:`is_due`, and override what else is needed."""

    def wants_look(self, edge: Edge) -> bool:
        """Whether the edge is to be looked at now; looking takes minutes and reads the wear land with an error."""
        return False

    @abstractmethod
    def is_due(self, edge: Edge, now_min: float) -> bool:
        """Whether the set is to be changed before the next part; now is by the calendar, as `Edge.mounted_min` is."""

    def share(self, edge: Edge, now_min: float) -> float:
        """How much of the interval is used up, for changing sets in one stop; 0 where the rule has no interval."""
        return 0.0
