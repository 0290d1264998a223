"""How the works stands as the run begins: edges with their parts, parts that wait, sets in the crib, machines down."""

from __future__ import annotations

from typing import Annotated, Any, Literal

from pydantic import Discriminator, Field, Tag

from linesim.units import Minutes, Share, Whole
from linesim.works.base import Strict

__all__ = ["MomentNow", "Now", "OperationNow", "SetsNow", "of_machine"]


def _one_or_each(value: Any) -> str:
    return "each" if isinstance(value, list) else "one"


_Parts = Annotated[Whole, Field(ge=0, le=10_000_000)]
_Down = Annotated[Minutes, Field(ge=0, le=1e7)]
PartsNow = Annotated[
    Annotated[_Parts, Tag("one")] | Annotated[list[_Parts], Tag("each")],
    Discriminator(_one_or_each),
]
"""Parts that an edge has done: one figure for all machines of the operation, or a list with one for each."""
DownNow = Annotated[
    Annotated[_Down, Tag("one")] | Annotated[list[_Down], Tag("each")],
    Discriminator(_one_or_each),
]
"""Minutes of repair that are left: one figure for all machines of the operation, or a list with one for each."""


class MomentNow(Strict):
    """The moment of the calendar at which the run begins."""

    day: Literal["monday", "tuesday", "wednesday", "thursday", "friday", "saturday", "sunday"] = "monday"
    """Day of the week; one that is worked. A shift past midnight belongs to the day on which the first one began."""
    shift: Whole = Field(default=1, ge=1, le=6)
    """Shift of that day, from 1."""
    after: Minutes = Field(default=0.0, ge=0, le=1440)
    """Worked minutes from the start of that shift; less than a shift."""


class OperationNow(Strict):
    """How one operation stands."""

    waiting: Whole = Field(default=0, ge=0, le=100_000)
    """Parts that stand before it; the operations before have made them as their machines stand now."""
    edges: dict[str, PartsNow] = Field(default={})
    """Parts that each mounted set has done since its change: one figure, or a list with one for each machine."""
    down: DownNow = 0.0
    """Minutes of repair that machines which are down still need, once a fitter is there; 0 for one that runs."""
    warm: Share = Field(default=0.0, ge=0, le=1)
    """How warm its machines are: 0 cold, 1 warm."""


class SetsNow(Strict):
    """Where the sets of one kind are that are not mounted."""

    sharp: Whole | None = Field(default=None, ge=0, le=1000)
    """Sharp on the shelf; all the others unless given."""
    at_grinder: Whole = Field(default=0, ge=0, le=1000)
    """Dull, waiting for the tool grinders."""
    ordered: Whole = Field(default=0, ge=0, le=1000)
    """On order; each arrives after its lead time."""


class Now(Strict):
    """How the works stands as the run begins, which then has no warm-up."""

    at: MomentNow = MomentNow()
    """When that is; the start of the first shift of a Monday unless given. From then on people come and go, shifts end,
    days are cold and heats change as on that day."""
    lines: dict[str, dict[str, OperationNow]] = Field(default={})
    """Operations by line and name; sharp edges, nothing waiting and all in order unless given."""
    sets: dict[str, SetsNow] = Field(default={})
    """Sets that are not mounted, by cutter; all sharp on the shelf unless given."""


def of_machine(value: float | list[Any], number: int) -> float:
    """What holds for the machine of this number, from 0, of an operation."""
    return value[number] if isinstance(value, list) else value
