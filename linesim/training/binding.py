"""Where orders take hold, and where the line asks for one.

Every order is bound to where it takes hold: the start of the shift, a machine's n-th part, a setter's n-th job, a
reading of a gauge. So the same orders can be carried out again on the same shift, all of them or all but one, without a
clock: that is what a debrief compares.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Any

from simpy.events import Event

from linesim.floor.people import People

__all__ = ["START", "Bound", "Looks", "Question", "Spot"]

Spot = tuple[str | int, ...]
"""Where an order takes hold: ("start",), ("part", machine, count), ("reading", gauge, part, try), or at a setter's job:
("job", pool, count) for that one, ("first", pool, count) from it on."""

START: Spot = ("start",)


@dataclass(frozen=True)
class Bound:
    """An order and where it takes hold."""

    at: Spot
    order: Any
    number: int
    """Which decision of the trainee's it comes from, from 0."""


@dataclass(frozen=True)
class Looks:
    """What a look at an edge takes where no rule says so: minutes, and the error of the reading in mm."""

    minutes: float = 1.5
    error_mm: float = 0.02


@dataclass
class Question:
    """Where the line stands still until the trainee has decided.

    Attributes
    ----------
    kind : str
        "machine" (before a part), "part" (a doubtful one) or "setter".
    machine : int
        The machine concerned; for a setter the first of those that wait.
    words : list of str
        What there is to decide, in sentences.
    at : Place
        Where an answer takes hold.
    waiting : list of int
        Machines that wait for the setter.
    """

    kind: str
    machine: int
    words: list[str]
    at: Spot
    waiting: list[int] = field(default_factory=list)
    event: Event | None = None
    people: People | None = None
