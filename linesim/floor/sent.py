"""What the measuring room has to know of a part."""

from __future__ import annotations

from typing import Any

__all__ = ["Sent"]


class Sent:
    """A part as its operations send it to be measured.

    Attributes
    ----------
    turns : dict of int to tuple of two int
        By position in the routing: the machine that took it there last, and how many it had taken by then.
    gauges : list of int
        Gauges that want to read it.
    since_min : float
        When it left the machine to be carried, held or sorted.
    first_try : bool
        Whether it was good at the first try there.
    back : Target or None
        Where it goes once it has been sorted; None if it goes on behind its machine.
    counted : dict of int to bool
        By position in the routing, where its last visit has been counted as passed: whether at the first try.
    """

    __slots__ = ("back", "counted", "first_try", "gauges", "since_min", "turns")

    def __init__(self) -> None:
        self.turns: dict[int, tuple[int, int]] = {}
        self.gauges: list[int] = []
        self.since_min = 0.0
        self.first_try = True
        self.back: Any = None
        self.counted: dict[int, bool] = {}
